import { type KeyboardEvent, useRef } from 'react'
import type { HangingGroup } from '../../../../shared-core/records/wall.ts'
import { useStore } from '../../../state/store.ts'
import { between, chooseAlso, moveByGroup, moveOnWall, toggleChosen } from './arrange.ts'

type Props = {
  ids: readonly string[]
  groups: readonly HangingGroup[]
  at: number
  columns: number
  railsInSight: () => number
  onMove: (index: number) => void
  onOpen: (index: number) => void
}

/**
 * Choosing by keys and by a press with Shift or Ctrl. A range begins where one chose last, or where Shift was first held;
 * going back makes it smaller again, and what was chosen before it stays.
 */
export function useWallKeys({ ids, groups, at, columns, railsInSight, onMove, onOpen }: Props) {
  const range = useRef<{ anchor: number; base: readonly string[]; made: readonly string[] } | null>(null)

  const choose = (index: number) => {
    const { chosen, setView } = useStore.getState()
    const next = toggleChosen(chosen, ids[index]!)
    setView({ chosen: next })
    range.current = { anchor: index, base: next, made: next }
  }
  const chooseTo = (index: number, from: number) => {
    const { chosen, setView } = useStore.getState()
    // what was chosen otherwise meanwhile is where the range begins anew
    if (range.current?.made !== chosen) range.current = { anchor: from, base: chosen, made: chosen }
    const { anchor, base } = range.current
    const made = chooseAlso(base, between(ids, anchor, index))
    range.current.made = made
    setView({ chosen: made })
  }
  const onKey = (event: KeyboardEvent) => {
    const { key, shiftKey } = event
    const mod = event.ctrlKey || event.metaKey
    if (event.altKey) return
    if (key === ' ') {
      if (shiftKey) chooseTo(at, at)
      else choose(at)
    } else if (key === 'Enter') onOpen(at)
    else if (/^(Arrow|Page|Home$|End$)/.test(key)) {
      const to =
        mod && (key === 'ArrowDown' || key === 'ArrowUp')
          ? moveByGroup(key === 'ArrowDown' ? 1 : -1, at, groups)
          : moveOnWall(key, at, ids.length, columns, railsInSight())
      if (shiftKey && to !== at) chooseTo(to, at)
      onMove(to)
    } else return
    event.preventDefault()
  }
  return { choose, chooseTo, onKey }
}

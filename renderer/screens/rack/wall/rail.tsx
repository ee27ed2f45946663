import { memo, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { Suspect } from '../../../../shared-core/records/film.ts'
import type { HangingGroup, PanelGroup } from '../../../../shared-core/records/wall.ts'
import { countInWords } from '../../../parts/say-numbers.ts'
import { setOf } from '../../../state/rack-order.ts'
import { useStore } from '../../../state/store.ts'
import { summaryOf, useSummaries } from '../../../state/summaries.ts'
import { groupInWords, type Hook, railOf, roomForName } from './arrange.ts'
import { DoubtMark } from './doubt-mark.tsx'
import { reasonsInWords } from './doubts.ts'
import type { WallGeometry } from './geometry.ts'
import { HangingPanel } from './hanging-panel.tsx'
import { usePace } from './use-sight.ts'

type Props = {
  rail: number
  ids: readonly string[]
  groups: readonly HangingGroup[]
  groupedBy: PanelGroup
  wall: WallGeometry
  /** Index of the hook that takes the tab key's focus, when it hangs on this rail. */
  current: number | null
  /** Panels that do not fit the rest, and what asks why. */
  doubts: ReadonlyMap<string, Suspect[]>
  onDoubt: (panelId: string) => void
}

/** One rail with its panels. It takes what it shows by itself, so that the wall can scroll without drawing it anew. */
export const Rail = memo(function Rail({ rail, ids, groups, groupedBy, wall, current, doubts, onDoubt }: Props) {
  const { columns, railHeight, size } = wall
  const hooks = railOf(ids, groups, rail, columns, groupedBy !== 'none')
  const panels = useSummaries(useShallow((s) => hooks.map(({ id }) => summaryOf(s, id))))
  const chosen = useStore(useShallow((s) => hooks.map(({ id }) => setOf(s.chosen).has(id))))
  const pictures = usePicturesWanted(rail)
  return (
    <div
      className="rack-rail"
      role="row"
      aria-rowindex={rail + 1}
      style={{
        transform: `translateY(${rail * railHeight}px)`,
        height: railHeight,
        gridTemplateColumns: `repeat(${columns}, minmax(0, 1fr))`,
        ['--size' as string]: `${size}px`,
      }}
    >
      {hooks.map((hook, column) => {
        const suspects = doubts.get(hook.id)
        const isCurrent = hook.index === current
        return (
          <div
            // by place: a rail that has gone by becomes another, and its elements with it
            key={column}
            className={`rack-hook ${hook.group && !hook.group.carried ? 'is-first' : ''} ${suspects ? 'is-doubted' : ''}`}
            role="gridcell"
            aria-colindex={column + 1}
            aria-selected={chosen[column]}
          >
            {hook.group ? (
              <GroupName by={groupedBy} group={hook.group} room={roomForName(hooks, column, columns)} />
            ) : null}
            <HangingPanel
              id={hook.id}
              index={hook.index}
              panel={panels[column]}
              chosen={chosen[column] ?? false}
              doubt={suspects ? reasonsInWords(suspects) : null}
              current={isCurrent}
              size={size}
              pictures={pictures}
            />
            {suspects ? <DoubtMark suspects={suspects} current={isCurrent} onAsk={() => onDoubt(hook.id)} /> : null}
          </div>
        )
      })}
    </div>
  )
})

/** Pictures are wanted once the wall has gone slowly past this rail; what came stays. */
function usePicturesWanted(rail: number): boolean {
  const fast = usePace((s) => s.fast)
  const [wantedFor, setWantedFor] = useState(fast ? null : rail)
  if (!fast && wantedFor !== rail) setWantedFor(rail)
  return wantedFor === rail || !fast
}

type GroupNameProps = { by: PanelGroup; group: NonNullable<Hook['group']>; room: number }

/** The name stands right of its stop; where the next stop follows at once it is set narrow, and carried on it is small. */
function GroupName({ by, group, room }: GroupNameProps) {
  const narrow = room === 1
  const words = groupInWords(by, group.name, narrow)
  const width = `calc(${room * 100}% - ${narrow ? 20 : 32}px)`
  if (group.carried)
    return (
      <p className="rack-group is-carried fine" style={{ width }} aria-hidden="true">
        {words}
      </p>
    )
  return (
    <h2 className={`rack-group ${narrow ? 'is-narrow' : 'railname'}`} style={{ width }}>
      {words} <span className="fine">{countInWords(group.count)}</span>
    </h2>
  )
}

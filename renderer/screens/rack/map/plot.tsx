import { type KeyboardEvent, useCallback, useEffect, useMemo, useRef, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { ScreenSpace } from '../../../../shared-core/records/side.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { markWidth } from './draw/marks.ts'
import { makePainter, type Painter, type Scene } from './draw/painter.ts'
import { markAt, type Place, SpotGrid } from './geometry/grid.ts'
import { panelsOfRows, rowsInLoop, rowsInRing, type Taking, take } from './geometry/loop.ts'
import { frameOf } from './geometry/projection.ts'
import { type MapSteps, type Run, stepsOfPanel } from './geometry/steps.ts'
import { say } from './map-acts.ts'
import { useMap } from './map-state.ts'
import { pressKey } from './plot-keys.ts'
import { usePointers } from './plot-pointers.ts'
import { StepCard } from './step-card.tsx'
import { countPanels, countSteps, sliceInWords, stepInWords } from './step-words.ts'
import { useDpr, useRoom } from './use-stage.ts'

/** How far beside a mark a pointer still means it, in pixels. */
const nearEnough = 8

type Props = { steps: MapSteps; run: Run; reach: number; space: ScreenSpace; helpId: string }
/** A step by its panel and place there, which outlive another answer. */
type At = { panelId: string; step: number }

/** The map itself: a canvas that takes pointers and keys, and the card of the step that is looked at. */
export function Plot({ steps, run, reach, space, helpId }: Props) {
  const [camera, slice, tool, ring, gaps, gapAt] = useMap(
    useShallow((s) => [s.camera, s.slice, s.tool, s.ring, s.gaps, s.gapAt]),
  )
  const [chosen, choosing, setView, settings] = useStore(
    useShallow((s) => [s.chosen, s.choosing, s.setView, s.settings]),
  )
  const box = useRef<HTMLDivElement>(null)
  const canvas = useRef<HTMLCanvasElement>(null)
  const room = useRoom(box)
  const dpr = useDpr()
  useEffect(() => {
    useMap.setState({ stage: { room, reach } })
    return () => useMap.setState({ stage: null })
  }, [room, reach])

  const frame = useMemo(() => frameOf(camera, room, reach), [camera, room, reach])
  const grid = useMemo(() => new SpotGrid(steps, run), [steps, run])
  const width = markWidth(grid.density, frame.scale * dpr, dpr)
  const flags = useMemo(() => flagsOf(steps, chosen), [steps, chosen])

  const [at, setAt] = useState<At | null>(() => lastOpened(steps, run))
  const [hovered, setHovered] = useState<number | null>(null)
  const atRow = useMemo(() => rowOf(steps, run, at), [steps, run, at])
  const row = atRow ?? (hovered !== null && hovered >= run[0] && hovered < run[1] ? hovered : null)

  const look = (next: number | null) => setAt(next === null ? null : placeOf(steps, next))
  const choose = (rows: readonly number[], how: Taking, where: string) => {
    const inside = panelsOfRows(steps, rows)
    const next = take(chosen, inside, how)
    setView({ chosen: next })
    say(`${countPanels(inside.length)} in the ${where}, ${next.length} chosen.`)
  }
  const toggle = (of: number) => {
    const id = steps.panelIds[steps.panel[of]!]!
    const isChosen = chosen.includes(id)
    setView({ chosen: take(chosen, [id], isChosen ? 'away' : 'add') })
    say(`${steps.codes[steps.panel[of]!]} ${isChosen ? 'let go' : 'chosen'}.`)
  }
  const open = (of: number) => {
    const panel = steps.panel[of]!
    setView({ lastPanel: steps.panelIds[panel]! })
    go({ at: 'panel', key: steps.codes[panel]! })
  }
  const under = (place: Place): number | null => {
    const found = markAt(grid, steps, place, width / dpr / frame.scale, nearEnough / frame.scale)
    return found < 0 ? null : found
  }
  const { line, handlers, giveUp } = usePointers(canvas, {
    onLoop: (loop, taking) => choose(rowsInLoop(grid, steps, loop), taking, 'loop'),
    onPress: (place, toggles) => {
      const found = under(place)
      if (found !== null && (toggles || choosing)) toggle(found)
      else look(found)
    },
    onHover: (place) => setHovered(place === null || at !== null ? null : under(place)),
  })

  const onKeyDown = (event: KeyboardEvent) => {
    // buttons of the card have keys of their own
    if (event.target !== event.currentTarget) return
    if (event.key === 'Escape' && line) {
      giveUp()
      event.preventDefault()
      return
    }
    setHovered(null)
    const asked = pressKey(event, steps, run, atRow, () => nearestTo(grid, camera, reach))
    if (asked === false) return
    event.preventDefault()
    if (asked === true) return
    if (asked.do === 'look') {
      look(asked.row)
      const isChosen = flags.chosen[steps.panel[asked.row]!] === 1
      say(`${stepInWords(steps, asked.row, settings)}${isChosen ? ', chosen' : ''}`)
    } else if (asked.do === 'take' && ring) choose(rowsInRing(grid, ring), asked.how, 'ring')
    else if (asked.do === 'toggle' && atRow !== null) toggle(atRow)
    else if (asked.do === 'open' && atRow !== null) open(atRow)
    else if (asked.do === 'put-away') look(null)
  }

  const scene = useMemo<Scene>(
    () => ({
      frame,
      reach,
      steps,
      run,
      markWidth: width,
      dpr,
      ...flags,
      // of all lightness they would lie under panels of other slices: then the list alone tells them
      gaps: slice.middle === null ? [] : (gaps ?? []),
      gapShown: gapAt,
      loop: line,
      ring,
      at: row,
    }),
    [frame, reach, steps, run, width, dpr, flags, slice, gaps, gapAt, line, ring, row],
  )
  usePainted(canvas, space, scene)
  const seen = useCallback(
    () => `Lightness ${sliceInWords(slice, ' to ')}: ${countSteps(run[1] - run[0])}`,
    [slice, run],
  )

  return (
    // oxlint-disable-next-line jsx-a11y/no-noninteractive-element-interactions -- a map with keys of its own
    <div
      ref={box}
      className={`map-plot well is-${tool}`}
      role="application"
      aria-roledescription="colour map"
      aria-label={`Hue around, chroma outwards. ${seen()}`}
      aria-describedby={helpId}
      // oxlint-disable-next-line jsx-a11y/no-noninteractive-tabindex -- a map with keys of its own
      tabIndex={0}
      data-map-at={row === null ? undefined : steps.codes[steps.panel[row]!]}
      onKeyDown={onKeyDown}
    >
      <canvas ref={canvas} className="map-canvas" aria-hidden="true" {...handlers} />
      {row === null ? null : (
        <StepCard
          steps={steps}
          row={row}
          frame={frame}
          isChosen={flags.chosen[steps.panel[row]!] === 1}
          isPinned={row === atRow}
          onOpen={() => open(row)}
          onToggle={() => toggle(row)}
        />
      )}
    </div>
  )
}

function usePainted(canvas: { current: HTMLCanvasElement | null }, space: ScreenSpace, scene: Scene): void {
  const painter = useRef<Painter | null>(null)
  useEffect(() => {
    if (!canvas.current) return
    painter.current = makePainter(canvas.current, space)
    return () => painter.current?.stop()
  }, [canvas, space])
  useEffect(() => painter.current?.paint(scene), [scene, space])
}

function flagsOf(steps: MapSteps, chosen: readonly string[]): Pick<Scene, 'chosen' | 'anyChosen'> {
  const ids = new Set(chosen)
  const flags = Uint8Array.from(steps.panelIds, (id) => (ids.has(id) ? 1 : 0))
  return { chosen: flags, anyChosen: flags.includes(1) }
}

function placeOf(steps: MapSteps, row: number): At {
  const panel = steps.panel[row]!
  return { panelId: steps.panelIds[panel]!, step: stepsOfPanel(steps, panel).indexOf(row) }
}

/** Null where the panel is not on the map any more, or the step not in the slice. */
function rowOf(steps: MapSteps, [from, to]: Run, at: At | null): number | null {
  if (!at) return null
  const panel = steps.panelIds.indexOf(at.panelId)
  const row = panel < 0 ? undefined : stepsOfPanel(steps, panel)[at.step]
  return row !== undefined && row >= from && row < to ? row : null
}

/** The panel that was opened last: going back finds it where it was. */
function lastOpened(steps: MapSteps, run: Run): At | null {
  const panel = steps.panelIds.indexOf(useStore.getState().lastPanel ?? '')
  if (panel < 0) return null
  const row = stepsOfPanel(steps, panel).findLast((one) => one >= run[0] && one < run[1])
  return row === undefined ? null : placeOf(steps, row)
}

/** Where walking begins: the step nearest to the middle of what is seen. */
function nearestTo(grid: SpotGrid, camera: { a: number; b: number }, reach: number): number | null {
  for (let radius = 4; radius < 4 * reach; radius *= 2) {
    const row = grid.nearest(camera, radius)
    if (row >= 0) return row
  }
  return null
}

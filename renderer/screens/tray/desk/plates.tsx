import { useShallow } from 'zustand/react/shallow'
import type { Point, Quad } from '../../../../shared-core/records/area.ts'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { type Chosen, chooseMark, useDesk } from '../desk-state.ts'
import { knownAt, knownKeysOf, nameOfKnown, plateOfKnown } from '../known-marks.ts'
import { type AreaOfMark, areasOf, bandsOf, type Marks } from '../marks.ts'
import { handlesOf } from '../moving.ts'
import { firstNumberAt, numberRadius } from './chart-drawn.tsx'
import { type Box, placePlates, plateHigh, type Wanted } from './plate-places.ts'
import { toScreen, type View } from './zoom.ts'

/** Black plates beside the marks: what each one is. Tab walks along them. */
export function Plates({ view }: { view: View }) {
  const [marks, chosen, panel, room] = useDesk(useShallow((s) => [s.marks, s.chosen, s.panel, s.room]))
  const crowded = new Set([...marks.list.keys()].filter((key) => isCrowded(marks, key, view)))
  const plates = [...areaPlates(marks, chosen, panel, crowded), ...knownPlates(marks, chosen)]
  const spots = plates.map(
    (plate): Wanted => ({
      id: plate.id,
      ...spotFor(plate, marks, view),
      width: widthOf(plate),
      first: plate.here,
    }),
  )
  const placed = new Map(
    placePlates(spots, room, obstaclesOf(marks, chosen, view), boxesOf(plates, marks, view)).map((one) => [
      one.id,
      one,
    ]),
  )
  const leaders = [...placed.values()].flatMap(({ leader }) => (leader ? [leader] : []))
  return (
    <>
      {leaders.length > 0 ? (
        <svg className="tray-lines" aria-hidden="true">
          {['tray-line under', 'tray-line'].map((look) => (
            <path key={look} className={look} d={leaders.map(([a, b]) => `M${a.join(' ')}L${b.join(' ')}`).join('')} />
          ))}
        </svg>
      ) : null}
      <div className="tray-plates">
        {plates.map((plate) => {
          const box = placed.get(plate.id)?.box
          return (
            <button
              key={plate.id}
              type="button"
              // without a place it waits for the focus, or for a closer view
              className={`tray-plate ${plate.here ? 'here' : ''} ${box ? '' : 'vh'}`}
              data-own-pointer
              aria-label={plate.name}
              aria-pressed={plate.here}
              style={box ? { left: box.left, top: box.top, width: box.right - box.left } : {}}
              onFocus={() => chooseMark({ ...plate.chooses, handle: chosen?.handle ?? null })}
              onClick={() => chooseMark(plate.chooses)}
            >
              {plate.word}
              {plate.strokes === null ? null : <Strokes coats={plate.strokes} />}
            </button>
          )
        })}
      </div>
    </>
  )
}

type Plate = {
  id: string
  name: string
  word: string
  /** Coats drawn as strokes after the word; null draws none. */
  strokes: number | null
  here: boolean
  chooses: Chosen
  area: AreaOfMark | null
}

/** Where bands are narrower than plates, the plates bear the figure alone. */
function areaPlates(marks: Marks, chosen: Chosen | null, panel: Panel | null, crowded: ReadonlySet<number>): Plate[] {
  return areasOf(marks).map((area, i) => {
    const step = panel?.steps.find((s) => s.id === area.area.stepId)
    const narrow = crowded.has(area.mark)
    return {
      id: `${area.mark} ${area.band}`,
      name: nameOf(area, i, step?.coats),
      word: wordOf(area, i, step?.coats ?? null, panel !== null, narrow),
      strokes: step && !narrow ? step.coats : null,
      here: chosen?.key === area.mark && chosen.band === area.band,
      chooses: { key: area.mark, handle: null, band: area.band },
      area,
    }
  })
}

function wordOf({ area }: AreaOfMark, index: number, coats: number | null, hasPanel: boolean, narrow: boolean): string {
  const fade = area.shape.kind === 'fade' ? 'fade ' : ''
  if (coats !== null) return `${fade}${coats}`
  if (narrow) return hasPanel ? '?' : `${index + 1}`
  return hasPanel ? `${fade}step ?` : `${fade}area ${index + 1}`
}

function knownPlates(marks: Marks, chosen: Chosen | null): Plate[] {
  return knownKeysOf(marks).map((key) => ({
    id: key,
    name: nameOfKnown(marks, key),
    word: plateOfKnown(marks, key),
    strokes: null,
    here: chosen?.key === key,
    chooses: { key, handle: null, band: 0 },
    area: null,
  }))
}

export function nameOf({ area }: AreaOfMark, index: number, coats: number | undefined): string {
  const shape = { quad: 'Area', round: 'Round area', fade: 'Fade' }[area.shape.kind]
  return coats === undefined ? `${shape} ${index + 1}` : `${shape} ${index + 1}, ${coatsInWords(coats)}`
}

/** Room for the word in the plate's type and for its strokes; a stroke is 2 px wide and 2 px from the next. */
function widthOf({ word, strokes }: Plate): number {
  const drawn = strokes === null ? 0 : 6 + (strokes === 0 ? 9 : Math.ceil(Math.min(strokes, 13)) * 4)
  // figures of one and two digits stand in line
  return 16 + Math.ceil(Math.max(word.length, 2) * 8.5) + drawn
}

/** How far bands must lie apart for full plates: beside them, and above them. */
const roomyDown = plateHigh + 4
const roomyAcross = 64

function isCrowded(marks: Marks, key: number, view: View): boolean {
  const mark = marks.list[key]
  if (mark?.kind !== 'bands' || mark.cuts.length === 0) return false
  const edges = bandsOf(mark).map(([a, b, , d]) => toScreen(view, mark.run === 'down' ? mid(a, d) : mid(a, b)))
  const along = mark.run === 'down' ? 1 : 0
  const apart = edges.slice(1).map((edge, i) => Math.abs(edge[along] - edges[i]![along]))
  return Math.min(...apart) < (mark.run === 'down' ? roomyDown : roomyAcross)
}

const mid = (a: Point, b: Point): Point => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]

/** The upper edge of an outline, however it was turned. */
function topOf(quad: Quad, view: View): Point {
  const edges = quad.map((p, i) => mid(p, quad[(i + 1) % 4]!))
  return toScreen(
    view,
    edges.reduce((best, edge) => (edge[1] < best[1] ? edge : best)),
  )
}

function spotFor(plate: Plate, marks: Marks, view: View): Pick<Wanted, 'at' | 'side'> {
  if (!plate.area) {
    const known = typeof plate.chooses.key === 'string' ? knownAt(marks, plate.chooses.key) : null
    return { at: known ? topOf(known.quad, view) : [0, 0], side: 'around' }
  }
  const { shape } = plate.area.area
  if (shape.kind === 'round') {
    const [x, y] = toScreen(view, shape.centre)
    return { at: [x, y - shape.radius * view.scale], side: 'around' }
  }
  const whole = marks.list[plate.area.mark]!
  if (whole.kind !== 'bands' || whole.cuts.length === 0) return { at: topOf(shape.quad, view), side: 'around' }
  const [a, b, , d] = shape.quad
  return whole.run === 'down'
    ? { at: toScreen(view, mid(a, d)), side: 'left' }
    : { at: toScreen(view, mid(a, b)), side: 'above' }
}

/** Where single marks lie on the screen; bands have their plates at their side. */
function boxesOf(plates: readonly Plate[], marks: Marks, view: View): { id: string; box: Box }[] {
  return plates.flatMap(({ id, area, chooses }) => {
    const known = typeof chooses.key === 'string' ? knownAt(marks, chooses.key) : null
    const quad = known?.quad ?? (area && area.area.shape.kind !== 'round' ? area.area.shape.quad : null)
    if (!quad) return []
    const [xs, ys] = [0, 1].map((axis) => quad.map((point) => toScreen(view, point)[axis]!)) as [number[], number[]]
    const box = { left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) }
    return [{ id, box }]
  })
}

/** Half of a handle that is taken hold of, with its frame. */
const handleReach = 17

const around = ([x, y]: Point, reach: number): Box => ({
  left: x - reach,
  top: y - reach,
  right: x + reach,
  bottom: y + reach,
})

/** What no plate may cover: the handles that can be taken hold of, and the number at the chart's first corner. */
function obstaclesOf(marks: Marks, chosen: Chosen | null, view: View): Box[] {
  const handles = chosen ? handlesOf(marks, chosen.key) : []
  const first = marks.chart ? [firstNumberAt(marks.chart.quad, (p) => toScreen(view, p))] : []
  return [
    ...handles.map((handle) => around(toScreen(view, handle), handleReach)),
    ...first.map((at) => around(at, numberRadius + 2)),
  ]
}

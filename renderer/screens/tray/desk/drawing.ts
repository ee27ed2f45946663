import { usualRun } from '../../../../shared-core/find/filing/strips.ts'
import type { Point, Quad, Tile } from '../../../../shared-core/records/area.ts'
import { useStore } from '../../../state/store.ts'
import { changeMarks, chooseMark, type Desk, useDesk } from '../desk-state.ts'
import { startedAt, tileKey, usualLab } from '../known-marks.ts'
import type { Mark, Marks } from '../marks.ts'
import { clampTo, inOrder, type MarkKey, rectangleBetween } from '../moving.ts'
import { fitToSteps } from '../step-marks.ts'

/** A radius for a round area that was only clicked: a fortieth of the photo's shorter side. */
const clickedRadius = 1 / 40

/** What a tool leaves on the photo: a drag between two places, or one more clicked corner. */
export function drawn(desk: Desk, input: { from: Point; to: Point } | { corner: Point }): void {
  const { photo, tool } = desk
  if (!photo || !tool) return
  if (tool === 'round') {
    const centre = clampTo(photo, 'corner' in input ? input.corner : input.from)
    const radius =
      'corner' in input
        ? Math.min(photo.width, photo.height) * clickedRadius
        : Math.hypot(input.to[0] - input.from[0], input.to[1] - input.from[1])
    place(desk, { kind: 'round', centre, radius, stepId: null })
    return
  }
  if ('from' in input) {
    placeQuad(desk, rectangleBetween(clampTo(photo, input.from), clampTo(photo, input.to)))
    return
  }
  const corners = [...desk.corners, clampTo(photo, input.corner)]
  if (corners.length < 4) useDesk.setState({ corners })
  else placeQuad(desk, inOrder(corners as [Point, Point, Point, Point]), corners[0])
}

/** By keys alone: the tool's mark is laid in the middle of the photo; arrows move it, 1 to 4 take a corner. */
export function layInMiddle(desk: Desk): void {
  const { photo, tool } = desk
  if (!photo || !tool) return
  const at = (x: number, y: number): Point => [photo.width * x, photo.height * y]
  const [left, top] = tool === 'panel' ? [0.3, 0.2] : tool === 'chart' ? [0.25, 0.3] : [0.4, 0.4]
  if (tool === 'round') drawn(desk, { corner: at(0.5, 0.5) })
  else drawn(desk, { from: at(left, top), to: at(1 - left, 1 - top) })
}

function placeQuad(desk: Desk, quad: Quad, firstClicked: Point | null = null): void {
  switch (desk.tool) {
    case 'card': {
      const lab = desk.marks.card?.lab ?? useStore.getState().settings.card
      finish({ ...desk.marks, card: { quad, lab } }, 'card')
      return
    }
    case 'chart':
      finish({ ...desk.marks, chart: { quad: startedAt(quad, firstClicked), table: 'avg30' } }, 'chart')
      return
    case 'white':
    case 'grey':
    case 'black': {
      const { tiles } = desk.marks
      const tile: Tile = { quad, kind: desk.tool, lab: usualLab(desk.tool, useStore.getState().settings) }
      finish({ ...desk.marks, tiles: [...tiles, tile] }, tileKey(tiles.length))
      return
    }
    case 'fade':
      place(desk, { kind: 'fade', quad, stepId: null })
      return
    default:
      place(desk, { kind: 'bands', quad, run: usualRun(quad), cuts: [], stepIds: [null] })
  }
}

function place(desk: Desk, mark: Mark): void {
  // Marked anew, the panel takes the place of a proposal's panels; the card that lies beside it stays proposed with it.
  const list = desk.tool === 'panel' ? desk.marks.list.filter((m) => m.kind !== 'bands') : desk.marks.list
  const marks = { ...desk.marks, list: [...list, mark] }
  const key = list.length
  finish(desk.panel ? fitToSteps(marks, desk.panel.steps) : marks, key)
}

function finish(marks: Marks, key: MarkKey): void {
  changeMarks(marks)
  chooseMark({ key, handle: null, band: 0 })
  useDesk.setState({ tool: null, corners: [], drawing: null })
}

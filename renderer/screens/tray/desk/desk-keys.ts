import type { Point } from '../../../../shared-core/records/area.ts'
import { type Command, whatIsMissing } from '../../../commands/command.ts'
import { goesOnWith } from '../../../commands/tray/go-on.ts'
import { markWith, removeMark } from '../../../commands/tray/mark.ts'
import { turnChart } from '../../../commands/tray/turn-chart.ts'
import { zoomFit, zoomIn, zoomOut } from '../../../commands/tray/zoom.ts'
import { useStore } from '../../../state/store.ts'
import { changeMarks, chooseMark, type Desk, type Tool, takeTool, useDesk } from '../desk-state.ts'
import { type TileKind, tileKey } from '../known-marks.ts'
import { handlesOf, keysOf, type MarkKey, moveHandle, moveWhole } from '../moving.ts'
import { layInMiddle } from './drawing.ts'
import { prepareSnapping, snappedStep } from './near/snapping.ts'
import { fitView } from './zoom.ts'

const arrows: Readonly<Record<string, Point>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
}

function run(command: Command): true {
  const state = useStore.getState()
  const missing = whatIsMissing(command, state)
  if (missing === null) void command.run(state)
  else state.say(missing)
  return true
}

type Press = Pick<KeyboardEvent, 'key' | 'shiftKey' | 'ctrlKey' | 'metaKey' | 'altKey'> & { repeat?: boolean }

/** Keys that work while the photo has the focus. @returns whether the key was used */
export function deskKey(event: Press): boolean {
  if (event.ctrlKey || event.metaKey) return false
  const desk = useDesk.getState()
  const arrow = arrows[event.key]
  if (arrow) return moveBy(desk, arrow, event)
  // with Shift these belong to the whole photo: put it aside, discard it
  if (event.altKey || (event.shiftKey && /^(Enter|Delete|Backspace)$/.test(event.key))) return false
  if (/^[1-4]$/.test(event.key)) return chooseHandle(desk, Number(event.key) - 1)
  switch (event.key.toLowerCase()) {
    case 'a':
      return chooseNext(desk, event.shiftKey ? -1 : 1)
    case 'c':
      return chooseOrMark(desk, desk.marks.card ? 'card' : null, 'card')
    case 'h':
      return chooseOrMark(desk, desk.marks.chart ? 'chart' : null, 'chart')
    case 'w':
      return chooseOrMark(desk, tileOf(desk, 'white'), 'white')
    case 'b':
      return chooseOrMark(desk, tileOf(desk, 'black'), 'black')
    case 'g':
      return chooseOrMark(desk, tileOf(desk, 'grey'), 'grey')
    case 'r':
      return run(turnChart)
    case 'delete':
    case 'backspace':
      return run(removeMark)
    case '+':
    case '=':
      return run(zoomIn)
    case '-':
      return run(zoomOut)
    case '0':
      return run(zoomFit)
    case 'escape':
      if (desk.tool) takeTool(null)
      else if (desk.chosen) chooseMark(null)
      else return false
      return true
    case 'p':
      return run(markWith.panel)
    case 'enter':
      if (desk.tool) {
        layInMiddle(desk)
        return true
      }
      // a key that is held down files no photo that nobody has seen
      if (event.repeat) return true
      return run(goesOnWith(desk))
    default:
      return false
  }
}

const tileOf = ({ marks }: Desk, kind: TileKind): MarkKey | null => {
  const at = marks.tiles.findIndex((tile) => tile.kind === kind)
  return at === -1 ? null : tileKey(at)
}

/** Takes hold of what is marked already, or else takes the tool to mark it. */
function chooseOrMark(desk: Desk, key: MarkKey | null, tool: Tool): true {
  if (key !== null) chooseMark({ key, handle: desk.chosen?.handle ?? 0, band: 0 })
  else return run(markWith[tool])
  return true
}

function chooseHandle(desk: Desk, handle: number): boolean {
  const key = desk.chosen?.key ?? keysOf(desk.marks)[0]
  if (key === undefined || handle >= handlesOf(desk.marks, key).length) return false
  chooseMark({ key, handle, band: desk.chosen?.band ?? 0 })
  prepareSnapping()
  return true
}

function chooseNext(desk: Desk, way: 1 | -1): boolean {
  const keys = keysOf(desk.marks)
  if (keys.length === 0) return false
  const at = desk.chosen ? keys.indexOf(desk.chosen.key) : -1
  const next = keys[(at + way + keys.length) % keys.length] ?? keys[0]!
  chooseMark({ key: next, handle: desk.chosen?.handle ?? null, band: 0 })
  return true
}

/** Pixels of the screen that a press moves a corner by, and one with Shift. */
const smallStep = 1
const largeStep = 10

/** A run of arrow keys on the same corner is one step of undo. A large step ends at an edge that lies there. */
function moveBy(desk: Desk, [dx, dy]: Point, { shiftKey, altKey }: Press): boolean {
  const { chosen, marks, photo, view, room, snaps } = desk
  if (!chosen || !photo) return false
  const { scale } = view ?? fitView(photo, room)
  const step = (shiftKey ? largeStep : smallStep) / scale
  const by: Point = [dx * step, dy * step]
  const { key, handle } = chosen
  const at = handle === null ? undefined : handlesOf(marks, key)[handle]
  const tag = `keys ${key} ${handle}`
  if (!at || handle === null) {
    changeMarks(moveWhole(marks, key, by, photo), tag)
    return true
  }
  const edge = shiftKey && snaps && !altKey ? snappedStep(desk, key, handle, at, by, scale) : null
  changeMarks(moveHandle(marks, key, handle, edge ?? [at[0] + by[0], at[1] + by[1]], photo), tag)
  if (edge) useDesk.setState({ snapped: true })
  return true
}

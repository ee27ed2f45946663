import {
  acceptProposal as accept,
  changeMarks,
  chooseMark,
  layLast,
  type Tool,
  takeTool,
  useDesk,
} from '../../screens/tray/desk-state.ts'
import { mostTiles } from '../../screens/tray/known-marks.ts'
import { removeMark as without } from '../../screens/tray/moving.ts'
import type { Command } from '../command.ts'

const noPhoto = (): string | null => (useDesk.getState().photo ? null : 'No photo is open.')
const noRoom = () =>
  useDesk.getState().marks.tiles.length < mostTiles ? noPhoto() : `${mostTiles} tiles are marked already: remove one.`

const withTool = (tool: Tool, label: string, missing = noPhoto): Command => ({
  id: `tray.mark.${tool}`,
  place: 'tray',
  label: () => label,
  shortcut: null,
  missing,
  run: () => takeTool(tool),
  undo: 'none',
  leadsToChange: true,
})

/** The tools of the desk, in the order in which they stand there. */
export const markWith: Readonly<Record<Tool, Command>> = {
  panel: withTool('panel', 'Mark the panel'),
  card: withTool('card', 'Grey card'),
  area: withTool('area', 'One area'),
  round: withTool('round', 'Curved part'),
  fade: withTool('fade', 'Fade'),
  white: withTool('white', 'White tile', noRoom),
  black: withTool('black', 'Black tile', noRoom),
  grey: withTool('grey', 'Another grey', noRoom),
  chart: withTool('chart', '24-patch chart'),
}

export const removeMark: Command = {
  id: 'tray.removeMark',
  place: 'tray',
  label() {
    const key = useDesk.getState().chosen?.key
    if (typeof key !== 'string') return 'Remove this mark'
    return `Remove the ${key === 'card' ? 'card’s' : key === 'chart' ? 'chart’s' : 'tile’s'} mark`
  },
  shortcut: null,
  missing: () => (useDesk.getState().chosen ? null : 'Choose a mark first.'),
  run() {
    const { chosen, marks } = useDesk.getState()
    if (!chosen) return
    changeMarks(without(marks, chosen.key))
    chooseMark(null)
  },
  undo: 'none',
  leadsToChange: true,
}

export const acceptProposal: Command = {
  id: 'tray.acceptProposal',
  place: 'tray',
  label() {
    const { cutUnseen, proposal } = useDesk.getState()
    return cutUnseen && !proposal ? 'Accept the equal steps' : 'Accept the proposed marks'
  },
  shortcut: null,
  missing() {
    const { cutUnseen, proposal } = useDesk.getState()
    return proposal || cutUnseen ? null : 'Nothing is proposed.'
  },
  run: () => accept(),
  undo: 'none',
  leadsToChange: true,
}

/** Where the photo says nothing of its panel, and the panel lies where it lay before. */
export const markAsLast: Command = {
  id: 'tray.markAsLast',
  place: 'tray',
  label: () => 'As on the last photo',
  shortcut: null,
  missing() {
    const { photo, last, marks } = useDesk.getState()
    if (!photo) return 'No photo is open.'
    if (photo.filed) return 'This photo is filed already.'
    if (!last) return 'No photo was marked before.'
    return marks.list.length > 0 ? 'A panel is marked already.' : null
  },
  run: layLast,
  undo: 'none',
  leadsToChange: true,
}

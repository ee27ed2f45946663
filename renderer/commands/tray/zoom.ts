import { fitView, zoomAt } from '../../screens/tray/desk/zoom.ts'
import { type Desk, useDesk } from '../../screens/tray/desk-state.ts'
import type { Command } from '../command.ts'

const noPhoto = () => (useDesk.getState().photo ? null : 'No photo is open.')

/** The view with its middle kept. */
export function zoomedBy(desk: Desk, factor: number): Desk['view'] {
  if (!desk.photo) return desk.view
  const { photo, room } = desk
  return zoomAt(desk.view ?? fitView(photo, room), factor, [room.width / 2, room.height / 2], photo, room)
}

const zoom = (id: string, label: string, change: (desk: Desk) => Desk['view']): Command => ({
  id,
  place: 'tray',
  label: () => label,
  shortcut: null,
  missing: noPhoto,
  run: () => useDesk.setState((desk) => ({ view: change(desk) })),
  undo: 'none',
})

export const zoomIn = zoom('tray.zoomIn', 'Closer', (desk) => zoomedBy(desk, 1.5))
export const zoomOut = zoom('tray.zoomOut', 'Farther', (desk) => zoomedBy(desk, 1 / 1.5))
export const zoomFit = zoom('tray.zoomFit', 'Whole photo', () => null)

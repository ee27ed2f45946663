import { toggleRing } from '../../screens/rack/map/map-acts.ts'
import type { Command } from '../command.ts'
import { noMap } from './map-zoom.ts'

/** A loop without a pointer: a ring that arrow keys move and size. */
export const mapRing: Command = {
  id: 'rack.mapRing',
  place: 'rack',
  label: () => 'Ring',
  shortcut: 'r',
  missing: noMap,
  run: toggleRing,
  undo: 'none',
}

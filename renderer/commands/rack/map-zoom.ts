import { fitMap, zoomBy } from '../../screens/rack/map/map-acts.ts'
import { useMap } from '../../screens/rack/map/map-state.ts'
import type { Command } from '../command.ts'

export const noMap = (): string | null => (useMap.getState().stage ? null : 'Show the colour map first.')

const zoom = (id: string, label: string, shortcut: string, run: () => void): Command => ({
  id,
  place: 'rack',
  label: () => label,
  shortcut,
  missing: noMap,
  run,
  undo: 'none',
})

export const mapZoomIn = zoom('rack.mapZoomIn', 'Closer', '+', () => zoomBy(1.4))
export const mapZoomOut = zoom('rack.mapZoomOut', 'Farther', '-', () => zoomBy(1 / 1.4))
export const mapFit = zoom('rack.mapFit', 'Whole map', '0', fitMap)

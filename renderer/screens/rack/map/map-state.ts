import { create } from 'zustand'
import type { MapGap } from './geometry/gaps.ts'
import { type Camera, fitted, type Room } from './geometry/projection.ts'
import type { Slice } from './geometry/steps.ts'

/** What a drag on the map does. */
export type MapTool = 'only' | 'add' | 'away' | 'move'
/** A round loop for the keyboard, in units of the plane. */
export type Ring = { readonly a: number; readonly b: number; readonly radius: number }

type Kept = { camera: Camera; slice: Slice; tool: MapTool; ring: Ring | null }
export type MapState = Kept & {
  /** The rack that the view belongs to. */
  folder: string | null
  /** How large the map is on the screen and in C*; null while it is not there. What commands go by. */
  stage: { readonly room: Room; readonly reach: number } | null
  /** Gaps of the slice; null while they are looked for. */
  gaps: readonly MapGap[] | null
  /** The gap that is looked at. */
  gapAt: number | null
  /** A gap that was asked for among those of all lightness: it is looked at once its own slice is there. */
  gapWanted: MapGap | null
  /** Told to who cannot see the map. */
  said: string
}

const fresh: Kept = { camera: fitted, slice: { middle: 50 }, tool: 'only', ring: null }
const nothingFound = { gaps: null, gapAt: null, gapWanted: null, said: '' }

/** The view comes back when the page is loaded again, in this window and for this rack. */
const keptKey = 'overground-map'

function readKept(): Kept & { folder: string | null } {
  const text = typeof sessionStorage === 'undefined' ? null : sessionStorage.getItem(keptKey)
  return text === null ? { ...fresh, folder: null } : (JSON.parse(text) as Kept & { folder: string | null })
}

export const useMap = create<MapState>(() => ({ ...readKept(), ...nothingFound, stage: null }))

/** The view belongs to a rack: another one is looked at afresh. */
export function mapOfRack(folder: string): void {
  if (useMap.getState().folder !== folder) useMap.setState({ ...fresh, ...nothingFound, folder })
}

const keptParts = ['camera', 'slice', 'tool', 'ring', 'folder'] as const
const restMs = 150
let waiting: ReturnType<typeof setTimeout> | undefined
useMap.subscribe((now, before) => {
  if (typeof sessionStorage === 'undefined' || keptParts.every((part) => now[part] === before[part])) return
  clearTimeout(waiting)
  waiting = setTimeout(() => {
    const { camera, slice, tool, ring, folder } = useMap.getState()
    sessionStorage.setItem(keptKey, JSON.stringify({ camera, slice, tool, ring, folder }))
  }, restMs)
})

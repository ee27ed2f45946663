import { bringIntoSight, fitted, frameOf, lookAt, panBy, type Spot, toColour, zoomAt } from './geometry/projection.ts'
import { type Slice, sliceMiddles } from './geometry/steps.ts'
import { type Ring, useMap } from './map-state.ts'

/** What moves the map: keys, buttons, wheel and fingers come together here. */

export const say = (said: string): void => useMap.setState({ said })

export function zoomBy(factor: number, spot?: Spot): void {
  const { camera, stage } = useMap.getState()
  if (!stage) return
  const { room, reach } = stage
  const middle = { x: room.width / 2, y: room.height / 2 }
  useMap.setState({ camera: zoomAt(camera, factor, spot ?? middle, frameOf(camera, room, reach), reach) })
}

export function pan(dx: number, dy: number): void {
  const { camera, stage } = useMap.getState()
  if (stage) useMap.setState({ camera: panBy(camera, dx, dy, frameOf(camera, stage.room, stage.reach), stage.reach) })
}

export const fitMap = (): void => useMap.setState({ camera: fitted })

/** Moves the map only as far as a colour needs to be seen. */
export function showColour(a: number, b: number): void {
  const { camera, stage } = useMap.getState()
  if (!stage) return
  const { room, reach } = stage
  useMap.setState({ camera: bringIntoSight(camera, a, b, frameOf(camera, room, reach), reach) })
}

/** Another slice; its gaps are looked for anew. */
export function setSlice(slice: Slice): void {
  if (useMap.getState().slice.middle === slice.middle) return
  useMap.setState({ slice, gaps: null, gapAt: null, gapWanted: null })
}

/** One slice lighter or darker; from all lightness to the middle one. */
export function nextSlice(way: 1 | -1): void {
  const { middle } = useMap.getState().slice
  if (middle === null) return setSlice({ middle: 50 })
  const [lightest, darkest] = [sliceMiddles[0], sliceMiddles.at(-1)!]
  setSlice({ middle: Math.min(lightest, Math.max(darkest, middle + way * 10)) })
}

/** Looks at a gap; a gap of another lightness brings its slice. @param index counted from 0, round and round */
export function lookAtGap(index: number): void {
  const { gaps, camera, stage, slice } = useMap.getState()
  if (!gaps || gaps.length === 0) return
  const gapAt = (index + gaps.length) % gaps.length
  const gap = gaps[gapAt]!
  if (slice.middle === null) {
    useMap.setState({ slice: { middle: gap.l }, gaps: null, gapAt: null, gapWanted: gap })
    return
  }
  useMap.setState({ gapAt })
  if (stage && camera.zoom > 1) useMap.setState({ camera: lookAt(camera, gap.a, gap.b, stage.reach) })
}

/** How wide a new ring is on the screen, and the least and most of any, in pixels. */
const ringPixels = { first: 60, least: 8, most: 400 }

/** A ring in the middle of what is seen, or none. */
export function toggleRing(): void {
  const { ring, camera, stage } = useMap.getState()
  if (ring || !stage) return useMap.setState({ ring: null })
  const { scale } = frameOf(camera, stage.room, stage.reach)
  useMap.setState({ ring: { a: camera.a, b: camera.b, radius: ringPixels.first / scale } })
}

/** The ring so many pixels further, and the map with it where it would leave the room. */
export function moveRing(dx: number, dy: number): void {
  const { ring, camera, stage } = useMap.getState()
  if (!ring || !stage) return
  const frame = frameOf(camera, stage.room, stage.reach)
  const [a, b] = [ring.a + dx / frame.scale, ring.b - dy / frame.scale]
  const out = Math.hypot(a, b)
  const share = out > stage.reach ? stage.reach / out : 1
  useMap.setState({ ring: { ...ring, a: a * share, b: b * share } })
  showColour(a * share, b * share)
}

export function sizeRing(factor: number): void {
  const { ring, camera, stage } = useMap.getState()
  if (!ring || !stage) return
  const { scale } = frameOf(camera, stage.room, stage.reach)
  const radius = Math.min(ringPixels.most / scale, Math.max(ringPixels.least / scale, ring.radius * factor))
  useMap.setState({ ring: { ...ring, radius } satisfies Ring })
}

/** The colour under a spot of the screen, as the map stands now. */
export function colourAt(spot: Spot): { a: number; b: number } {
  const { camera, stage } = useMap.getState()
  return stage ? toColour(frameOf(camera, stage.room, stage.reach), spot) : { a: 0, b: 0 }
}

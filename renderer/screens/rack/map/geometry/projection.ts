/** A point of the screen, in pixels from the room's top left. */
export type Spot = { readonly x: number; readonly y: number }
export type Room = { readonly width: number; readonly height: number }
/** The colour in the middle of the room, and how many times larger than fitted. */
export type Camera = { readonly a: number; readonly b: number; readonly zoom: number }

/**
 * From a*, b* to the screen: x = originX + a*·scale, y = originY − b*·scale. One scale both ways, so that hue is the angle
 * around neutral (counter-clockwise from +a*) and chroma is the true distance from it.
 */
export type Frame = { readonly scale: number; readonly originX: number; readonly originY: number } & Room

export const fitted: Camera = { a: 0, b: 0, zoom: 1 }
const zoomLimits = { from: 1, to: 40 } as const
/** Beside the disc stand the names of hues. */
const besideDisc = { x: 92, y: 34 } as const

/** The disc's radius in C*: the most colourful step fits, in whole tens. */
export function reachOf({ a, b }: { a: Float64Array; b: Float64Array }): number {
  let most = 0
  for (let row = 0; row < a.length; row++) most = Math.max(most, Math.hypot(a[row]!, b[row]!))
  return Math.max(40, Math.ceil(most / 10) * 10)
}

export function frameOf(camera: Camera, room: Room, reach: number, beside: Spot = besideDisc): Frame {
  const radius = Math.max(20, Math.min(room.width / 2 - beside.x, room.height / 2 - beside.y))
  const scale = (camera.zoom * radius) / reach
  return {
    scale,
    originX: room.width / 2 - camera.a * scale,
    originY: room.height / 2 + camera.b * scale,
    width: room.width,
    height: room.height,
  }
}

export const toX = (frame: Frame, a: number): number => frame.originX + a * frame.scale
export const toY = (frame: Frame, b: number): number => frame.originY - b * frame.scale
export const toSpot = (frame: Frame, a: number, b: number): Spot => ({ x: toX(frame, a), y: toY(frame, b) })
export const toColour = (frame: Frame, { x, y }: Spot): { a: number; b: number } => ({
  a: (x - frame.originX) / frame.scale,
  b: (frame.originY - y) / frame.scale,
})

/** Closer or farther with the colour under a spot kept where it is. */
export function zoomAt(camera: Camera, factor: number, spot: Spot, frame: Frame, reach: number): Camera {
  const zoom = Math.min(zoomLimits.to, Math.max(zoomLimits.from, camera.zoom * factor))
  const under = toColour(frame, spot)
  const share = camera.zoom / zoom
  return within({ a: under.a + (camera.a - under.a) * share, b: under.b + (camera.b - under.b) * share, zoom }, reach)
}

/** The map pulled so many pixels along. */
export function panBy(camera: Camera, dx: number, dy: number, frame: Frame, reach: number): Camera {
  return within({ ...camera, a: camera.a - dx / frame.scale, b: camera.b + dy / frame.scale }, reach)
}

/** The same closeness around another colour. */
export const lookAt = (camera: Camera, a: number, b: number, reach: number): Camera =>
  within({ ...camera, a, b }, reach)

/** Moves the camera only if a colour is not well inside the room. */
export function bringIntoSight(camera: Camera, a: number, b: number, frame: Frame, reach: number): Camera {
  const { x, y } = toSpot(frame, a, b)
  const edge = 40
  const isInSight = x > edge && y > edge && x < frame.width - edge && y < frame.height - edge
  return isInSight ? camera : lookAt(camera, a, b, reach)
}

/** Fitted stays in the middle; closer, the middle of the room never leaves the disc. */
function within({ a, b, zoom }: Camera, reach: number): Camera {
  const most = reach * (1 - 1 / zoom)
  const out = Math.hypot(a, b)
  if (out <= most) return { a, b, zoom }
  const share = out === 0 ? 0 : most / out
  return { a: a * share, b: b * share, zoom }
}

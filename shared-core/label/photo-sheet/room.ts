/** Millimetres from the page's top left corner, y down. */
export type Rect = { xMm: number; yMm: number; widthMm: number; heightMm: number }
export type Size = { widthMm: number; heightMm: number }
export type Patch = Rect & { hex: string }

export const rightOf = ({ xMm, widthMm }: Rect): number => xMm + widthMm
export const bottomOf = ({ yMm, heightMm }: Rect): number => yMm + heightMm

export const centred = (room: Rect, { widthMm, heightMm }: Size): Rect => ({
  xMm: room.xMm + (room.widthMm - widthMm) / 2,
  yMm: room.yMm + (room.heightMm - heightMm) / 2,
  widthMm,
  heightMm,
})

/** White between two patches. */
const betweenMm = 2
/** From the largest that is of use down to the smallest that can be read from a whole page in a small photo. */
const patchSizes: readonly Size[] = [16, 15, 14, 13, 12, 11, 10, 9, 8, 7].map((widthMm) => ({
  widthMm,
  heightMm: Math.max(widthMm, 9),
}))

/**
 * Places for so many patches in some rooms, as large as they can be, spread over the width of each.
 * @returns null when there is not room for all
 */
export function patchPlaces(rooms: readonly Rect[], count: number): Rect[] | null {
  for (const size of patchSizes) {
    const grids = rooms.map((room) => ({
      room,
      columns: fitting(room.widthMm, size.widthMm),
      rows: fitting(room.heightMm, size.heightMm),
    }))
    const held = grids.reduce((sum, { columns, rows }) => sum + columns * rows, 0)
    if (held < count) continue
    let [left, free] = [count, held]
    return grids.flatMap(({ room, columns, rows }) => {
      // every room takes its share, so that they lie all over the page
      const share = Math.round((left * columns * rows) / Math.max(1, free))
      const own = Math.min(columns * rows, Math.max(share, left - (free - columns * rows)))
      left -= own
      free -= columns * rows
      return spread(room, size, { columns, count: own })
    })
  }
  return null
}

const fitting = (roomMm: number, sizeMm: number): number =>
  Math.max(0, Math.floor((roomMm + betweenMm + 1e-6) / (sizeMm + betweenMm)))

function spread(room: Rect, size: Size, { columns, count }: { columns: number; count: number }): Rect[] {
  const rows = Math.ceil(count / columns)
  const across = Math.ceil(count / Math.max(1, rows))
  const stepX = (room.widthMm + betweenMm) / across
  const top = rows === 1 ? centred(room, size).yMm : room.yMm
  const stepY = Math.min((room.heightMm + betweenMm) / Math.max(1, rows), size.heightMm + 3 * betweenMm)
  return Array.from({ length: count }, (_one, at) => ({
    xMm: room.xMm + (at % across) * stepX + (stepX - betweenMm - size.widthMm) / 2,
    yMm: top + Math.floor(at / across) * stepY,
    ...size,
  }))
}

/** Strokes of a marker: points on a grid 4 wide and 6 high, y down. Enough letters for a panel's code. */
// biome-ignore format: one letter a line
const strokes: Record<string, readonly (readonly [number, number][])[]> = {
  P: [[[0, 6], [0, 0], [2.6, 0], [3.4, 1.3], [2.6, 2.8], [0, 3.1]]],
  '-': [[[0.6, 3.2], [3.2, 3.1]]],
  '0': [[[1.8, 0], [0.4, 1.4], [0.3, 4.4], [1.8, 6], [3.3, 4.5], [3.3, 1.4], [1.8, 0]]],
  '1': [[[0.8, 1.3], [2.1, 0], [2.1, 6]]],
  '2': [[[0.3, 1.4], [1.4, 0], [3, 0.6], [3, 2], [0.2, 6], [3.5, 5.9]]],
  '3': [[[0.4, 0.5], [2.2, 0], [3.2, 1.4], [1.5, 2.8], [3.3, 4.2], [2.3, 6], [0.3, 5.5]]],
  '4': [[[2.7, 6], [2.6, 0], [0.2, 4.1], [3.6, 4]]],
  '5': [[[3.2, 0], [0.8, 0.1], [0.5, 2.6], [2.4, 2.4], [3.3, 4.1], [2.2, 6], [0.3, 5.6]]],
  '6': [[[2.9, 0.2], [0.8, 2.2], [0.4, 4.6], [1.8, 6], [3.2, 4.7], [2.3, 3.1], [0.5, 3.8]]],
  '7': [[[0.3, 0.1], [3.4, 0], [1.4, 6]]],
  '8': [[[1.8, 2.8], [0.5, 1.4], [1.8, 0], [3.1, 1.3], [1.8, 2.8], [0.3, 4.5], [1.8, 6], [3.3, 4.6], [1.8, 2.8]]],
  '9': [[[3, 1.6], [1.6, 0], [0.5, 1.5], [1.6, 3], [3, 1.6], [2.6, 6]]],
}

/** Four numbers to a line from end to end, in millimetres from the middle of the writing. */
export function writtenLines(text: string, heightMm: number): Float64Array {
  const unit = heightMm / 6
  const advance = 5 * unit
  const lines: number[] = []
  Array.from(text).forEach((letter, n) => {
    const left = (n - text.length / 2) * advance + 0.5 * unit
    // Nobody writes on one line exactly; letters lean the same way.
    const drop = 0.35 * unit * Math.sin(2.4 * n + text.length)
    const at = ([x, y]: [number, number]): [number, number] => [
      left + (x - 0.12 * (y - 3)) * unit,
      (y - 3) * unit + drop,
    ]
    for (const stroke of strokes[letter] ?? [])
      stroke.slice(1).forEach((to, i) => {
        const from = stroke[i]
        if (from) lines.push(...at(from), ...at(to))
      })
  })
  return Float64Array.from(lines)
}

/** Distance in millimetres from a place to the nearest line. */
export function distanceToLines(lines: Float64Array, x: number, y: number): number {
  let nearest = Number.POSITIVE_INFINITY
  for (let i = 0; i < lines.length; i += 4) {
    const [ax, ay, bx, by] = [lines[i] ?? 0, lines[i + 1] ?? 0, lines[i + 2] ?? 0, lines[i + 3] ?? 0]
    const [dx, dy] = [bx - ax, by - ay]
    const along = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)))
    nearest = Math.min(nearest, (x - ax - along * dx) ** 2 + (y - ay - along * dy) ** 2)
  }
  return Math.sqrt(nearest)
}

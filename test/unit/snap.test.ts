import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type Grey, snapCorner } from '../../shared-core/find/snap.ts'
import type { Point, Quad } from '../../shared-core/records/area.ts'

/** Where the corners lie is known because the pictures are drawn here. */

/** Noise of its own, the same in every run. */
function noiseFrom(seed: number): () => number {
  let state = seed >>> 0 || 1
  const uniform = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
  // uniform, of standard deviation 1
  return () => (uniform() - 0.5) * Math.sqrt(12)
}

/** A quadrilateral of one shade on another; a pixel at its edge has the share that lies inside. */
function draw(quad: Quad, shades: { inside: number; outside: number; noise: number }, seed = 1): Grey {
  const [width, height] = [200, 160]
  const noise = noiseFrom(seed)
  const sides = quad.map((a, i) => {
    const b = quad[(i + 1) % 4]!
    const length = Math.hypot(b[0] - a[0], b[1] - a[1])
    return { a, nx: -(b[1] - a[1]) / length, ny: (b[0] - a[0]) / length }
  })
  const data = new Uint8Array(width * height)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const deep = Math.min(...sides.map(({ a, nx, ny }) => (x + 0.5 - a[0]) * nx + (y + 0.5 - a[1]) * ny))
      const share = Math.min(Math.max(deep + 0.5, 0), 1)
      const shade = shades.outside + (shades.inside - shades.outside) * share
      data[y * width + x] = Math.min(Math.max(Math.round(shade + shades.noise * noise()), 0), 255)
    }
  return { width, height, data }
}

const turnedSquare = (degrees: number, size: number): Quad => {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180) * size, Math.sin((degrees * Math.PI) / 180) * size]
  return [
    [100 - c + s, 80 - s - c],
    [100 + c + s, 80 + s - c],
    [100 + c - s, 80 + s + c],
    [100 - c - s, 80 - s + c],
  ]
}

const moved = (quad: Quad, corner: number, by: Point): Quad =>
  quad.map(([x, y], i): Point => (i === corner ? [x + by[0], y + by[1]] : [x, y])) as Quad

const snap = (grey: Grey, quad: Quad, corner: number, reach = 8) =>
  snapCorner(grey, quad[corner]!, [quad[(corner + 3) % 4]!, quad[(corner + 1) % 4]!], reach)

test('a corner that was put down some pixels off comes to lie on the corner, at any turn of the panel, on grain', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -30, max: 30, noNaN: true }),
      fc.integer({ min: 0, max: 3 }),
      fc.tuple(fc.double({ min: -5, max: 5, noNaN: true }), fc.double({ min: -5, max: 5, noNaN: true })),
      fc.integer({ min: 1, max: 1e6 }),
      (degrees, corner, by, seed) => {
        const quad = turnedSquare(degrees, 48)
        const grey = draw(quad, { inside: 90, outside: 150, noise: 6 }, seed)
        const at = snap(grey, moved(quad, corner, by), corner)
        const [x, y] = quad[corner]!
        expect(at?.edges).toBe(2)
        expect(Math.hypot(at!.point[0] - x, at!.point[1] - y)).toBeLessThan(0.5)
      },
    ),
    { numRuns: 40 },
  )
})

test('where nothing is an edge the corner is left where it was put', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 1e6 }), (seed) => {
      const flat = draw(turnedSquare(0, 48), { inside: 120, outside: 120, noise: 8 }, seed)
      expect(snap(flat, turnedSquare(10, 40), 0)).toBeNull()
    }),
    { numRuns: 30 },
  )
})

test('with one edge alone it is laid on that edge', () => {
  // the panel goes on beyond the picture's left side: its top edge is all that is seen
  const quad: Quad = [
    [-80, 60],
    [150, 60],
    [150, 140],
    [-80, 140],
  ]
  const grey = draw(quad, { inside: 60, outside: 160, noise: 3 })
  const drawn: Quad = [
    [40, 64],
    [150, 64],
    [150, 140],
    [40, 140],
  ]
  const at = snap(grey, drawn, 0)
  expect(at?.edges).toBe(1)
  expect(at!.point[1]).toBeCloseTo(60, 0)
  expect(Math.abs(at!.point[0] - 40)).toBeLessThan(1)
})

test('nothing farther off than its reach is taken, nor anything beside a very small outline', () => {
  const quad = turnedSquare(0, 48)
  const grey = draw(quad, { inside: 60, outside: 160, noise: 2 })
  expect(snap(grey, moved(quad, 0, [30, 30]), 0, 6)).toBeNull()
  expect(snap(grey, turnedSquare(0, 4), 0)).toBeNull()
})

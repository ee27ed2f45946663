import { type Random, randomFrom } from '../random.ts'

/** Tiles of noise, mean 0 and standard deviation 1, side a power of two so that places wrap with a mask. */
export const tileSide = 512
export const tileMask = tileSide - 1

export type Textures = {
  /** One value per pixel, nothing in common with its neighbours: the sensor. */
  sensor: Float32Array
  /** Flake: a little larger than a pixel, a few bright ones (skewed). */
  grain: Float32Array
  /** Single bright flakes, 0 or more, mean 1: large metal flake that glints. */
  sparkle: Float32Array
  /** Some millimetres across: orange peel, fibres, worn spots. */
  peel: Float32Array
  /** Some centimetres across: film thickness, mottle. */
  mottle: Float32Array
  /** Long along x, short along y: brushed metal. */
  brushed: Float32Array
}

/** Passes of a running mean along one axis come close to a bell. */
function blur(tile: Float32Array, radius: number, along: 'x' | 'y'): Float32Array {
  const out = new Float32Array(tile.length)
  const place = (line: number, i: number): number =>
    along === 'x' ? line * tileSide + (i & tileMask) : (i & tileMask) * tileSide + line
  for (let line = 0; line < tileSide; line++) {
    let sum = 0
    for (let i = -radius; i <= radius; i++) sum += tile[place(line, i)] ?? 0
    for (let i = 0; i < tileSide; i++) {
      out[place(line, i)] = sum / (2 * radius + 1)
      sum += (tile[place(line, i + radius + 1)] ?? 0) - (tile[place(line, i - radius)] ?? 0)
    }
  }
  return out
}

function standard(tile: Float32Array): Float32Array {
  const mean = tile.reduce((sum, v) => sum + v, 0) / tile.length
  const variance = tile.reduce((sum, v) => sum + (v - mean) ** 2, 0) / tile.length
  return tile.map((v) => (v - mean) / Math.sqrt(variance))
}

function smooth(white: Float32Array, radiusX: number, radiusY: number): Float32Array {
  let tile = white
  for (let pass = 0; pass < 3; pass++) {
    if (radiusX > 0) tile = blur(tile, radiusX, 'x')
    if (radiusY > 0) tile = blur(tile, radiusY, 'y')
  }
  return standard(tile)
}

function whiteNoise(random: Random): Float32Array {
  const tile = new Float32Array(tileSide * tileSide)
  for (let i = 0; i < tile.length; i += 2) {
    const radius = Math.sqrt(-2 * Math.log(1 - random.next()))
    const angle = 2 * Math.PI * random.next()
    tile[i] = radius * Math.cos(angle)
    tile[i + 1] = radius * Math.sin(angle)
  }
  return tile
}

function flake(white: Float32Array): Float32Array {
  const own = white.map((v, i) => {
    const right = white[(i & ~tileMask) | ((i + 1) & tileMask)] ?? 0
    const below = white[(i + tileSide) % white.length] ?? 0
    return v + 0.45 * right + 0.45 * below
  })
  const clumps = smooth(white, 1, 1)
  // Most flakes lie a little dull, few face the lens: the square of the upper half skews the distribution.
  const mixed = standard(own).map((v, i) => 0.9 * v + 0.3 * (clumps[i] ?? 0) + 0.3 * Math.max(0, v) ** 2)
  return standard(mixed)
}

function glints(random: Random): Float32Array {
  const tile = new Float32Array(tileSide * tileSide)
  const count = tile.length / 70
  for (let n = 0; n < count; n++) {
    const place = Math.floor(random.next() * tile.length)
    const bright = random.next() ** 4 * 12 + 0.5
    const row = place & ~tileMask
    const right = row | ((place + 1) & tileMask)
    const below = (place + tileSide) % tile.length
    tile[place] = (tile[place] ?? 0) + bright
    tile[right] = (tile[right] ?? 0) + bright * random.next() * 0.7
    tile[below] = (tile[below] ?? 0) + bright * random.next() * 0.7
  }
  const mean = tile.reduce((sum, v) => sum + v, 0) / tile.length
  return tile.map((v) => v / mean)
}

let made: Textures | null = null

/** Made once per process: pictures differ by where they look into the tiles. */
export function textures(): Textures {
  if (made) return made
  const random = randomFrom('overground textures')
  made = {
    sensor: whiteNoise(random),
    grain: flake(whiteNoise(random)),
    sparkle: glints(random),
    peel: smooth(whiteNoise(random), 3, 3),
    mottle: smooth(whiteNoise(random), 26, 34),
    brushed: smooth(whiteNoise(random), 40, 0),
  }
  return made
}

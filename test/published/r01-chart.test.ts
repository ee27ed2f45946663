/**
 * The 24 patches of one open chart photo, read through the application's own path with patch 22 as the card, against the
 * same computation done step by step here with colorjs.io.
 * Photo: r01_studio_even.jpg, C. Wakholi, colour-correction package (2025), MIT. Reference: mean of 30 measured charts,
 * D. Pascale 2012 ("avg30"). sRGB, Bradford and CIELAB: colorjs.io. The photos lie beside the project; without them this
 * file is skipped.
 */
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import Color from 'colorjs.io'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { readPhoto } from '../../electron/photos/read.ts'
import { chartLayout } from '../bench/photos.ts'

const folder = fileURLToPath(new URL('../../../shared/photos', import.meta.url))
const present = existsSync(join(folder, 'index.json'))
if (!present) console.warn('chart photos are not beside the project: r01-chart is skipped')

type Triple = [number, number, number]
type Photo = { file: string; quad: [Triple2, Triple2, Triple2, Triple2]; window: number; reference_applies: boolean }
type Triple2 = [number, number]

const json = (name: string) => JSON.parse(readFileSync(join(folder, name), 'utf8')) as unknown
const median = (values: number[]) => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!

/** Unit square to a quadrilateral. Source: P. Heckbert 1989, section 2.2.3, the closed form. */
function squareTo([[x0, y0], [x1, y1], [x2, y2], [x3, y3]]: Photo['quad']) {
  const [dx1, dx2, sx] = [x1 - x2, x3 - x2, x0 - x1 + x2 - x3]
  const [dy1, dy2, sy] = [y1 - y2, y3 - y2, y0 - y1 + y2 - y3]
  const g = (sx * dy2 - dx2 * sy) / (dx1 * dy2 - dx2 * dy1)
  const h = (dx1 * sy - sx * dy1) / (dx1 * dy2 - dx2 * dy1)
  return (u: number, v: number): Triple2 => [
    ((x1 - x0 + g * x1) * u + (x3 - x0 + h * x3) * v + x0) / (g * u + h * v + 1),
    ((y1 - y0 + g * y1) * u + (y3 - y0 + h * y3) * v + y0) / (g * u + h * v + 1),
  ]
}

/** IEC 61966-2-1. */
const decode = (number: number) => {
  const v = number / 255
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4
}

/** Mean linear light of the pixels whose centres lie in a patch's window. */
function meanOf(data: Uint8Array, width: number, corners: Triple2[]): Triple {
  const sum = [0, 0, 0]
  let count = 0
  const xs = corners.map((c) => c[0])
  const ys = corners.map((c) => c[1])
  for (let y = Math.floor(Math.min(...ys)); y <= Math.max(...ys); y++) {
    for (let x = Math.floor(Math.min(...xs)); x <= Math.max(...xs); x++) {
      const inside = corners.every(([ax, ay], i) => {
        const [bx, by] = corners[(i + 1) % 4]!
        return (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0
      })
      if (!inside) continue
      count++
      for (let c = 0; c < 3; c++) sum[c]! += decode(data[(y * width + x) * 3 + c]!)
    }
  }
  return [sum[0]! / count, sum[1]! / count, sum[2]! / count]
}

describe.skipIf(!present)('r01_studio_even.jpg, patch 22 as card', async () => {
  if (!present) return
  const photo = (json('index.json') as { photos: Photo[] }).photos.find((p) => p.file === 'r01_studio_even.jpg')!
  const reference = (json('chart24.json') as { labD50: { avg30: Triple[] } }).labD50.avg30
  const path = join(folder, photo.file)
  // the computation knows of no tone curve
  const { results } = await readPhoto(path, chartLayout(photo), { tone: 'none' })
  const usual = await readPhoto(path, chartLayout(photo))

  const { data, info } = await sharp(path).removeAlpha().raw().toBuffer({ resolveWithObject: true })
  const at = squareTo(photo.quad)
  const windowOf = (patch: number) => {
    // the application takes 4 % off each side of what is marked
    const half = (photo.window / 2) * 0.92
    const [column, row] = [((patch - 1) % 6) + 0.5, Math.floor((patch - 1) / 6) + 0.5]
    const corner = (dx: number, dy: number) => at((column + dx * half) / 6, (row + dy * half) / 4)
    return meanOf(data, info.width, [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)])
  }
  const target = new Color('lab', reference[21]!).to('srgb-linear').coords as Triple
  const card = windowOf(22)
  const gain = target.map((t, c) => t / card[c]!)
  const expected = reference.map((_, i) => {
    const linear = windowOf(i + 1).map((v, c) => v * gain[c]!) as Triple
    return new Color('srgb-linear', linear).to('lab')
  })
  const got = results.map(({ colour }) => new Color('lab', [colour!.lab.l, colour!.lab.a, colour!.lab.b]))

  it.each(reference.map((_, i) => i + 1))('patch %i is within 0.1 dE00 of the computation step by step', (patch) => {
    expect(got[patch - 1]!.deltaE(expected[patch - 1]!, '2000')).toBeLessThan(0.1)
  })

  it('reads the card as the card', () => {
    expect(got[21]!.deltaE(new Color('lab', reference[21]!), '2000')).toBeLessThan(0.05)
  })

  it('is 6.3 in the median from the measured charts: what one card can do for this contrasty camera', () => {
    const errors = got.map((colour, i) => colour.deltaE(new Color('lab', reference[i]!), '2000'))
    // figure from a first trial of plain gain on this photo, 6.3; the card's own patch counts as 0
    expect(Math.abs(median(errors) - 6.3)).toBeLessThan(0.3)
  })

  it('is nearer with what is known of cameras at large: their curve, and that nothing is whiter than white', () => {
    const errors = usual.results.map(({ colour }, i) => {
      const { l, a, b } = colour!.lab
      return new Color('lab', [l, a, b]).deltaE(new Color('lab', reference[i]!), '2000')
    })
    expect(median(errors)).toBeLessThan(3.6)
  })

  it('states a bound, and its parts, that admit it', () => {
    for (const { colour } of usual.results) {
      expect(colour!.level).toBe('card')
      // the whole room is in the picture
      expect(colour!.parts.map((p) => p.cause)).toContain('surroundings')
      expect(Math.hypot(...colour!.parts.map((p) => p.de00))).toBeCloseTo(colour!.bound90, 6)
    }
  })
})

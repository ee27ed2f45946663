/** Small pictures keep the photo's colours and its upright: Display P3 in, compared through colorjs.io. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Color from 'colorjs.io'
import sharp from 'sharp'
import { expect, test } from 'vitest'
import { type CutSize, cutSides, makeCut, makeCuts, shrinkCut } from '../../electron/photos/cuts.ts'
import { encodeJpeg } from '../../electron/photos/encode.ts'
import { factsOf } from '../../electron/photos/inspect.ts'
import { makeRendition, type RenditionSize, renditionSides, smallPictures } from '../../electron/photos/renditions.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import { workFolder } from './fresh.ts'

const folder = workFolder()
const [columns, rows, side] = [6, 4, 400]
const [width, height] = [columns * side, rows * side]

/** Paints from grey to beyond sRGB, as Display P3 numbers. */
const paints = Array.from({ length: columns * rows }, (_, i) => {
  const hue = (i * 360) / (columns * rows)
  const lab = new Color('oklch', [0.35 + 0.02 * i, i % 4 === 0 ? 0 : 0.06 + 0.008 * i, hue])
  return lab.to('p3').toGamut({ space: 'p3' })
})

function patches(): Uint8Array {
  const pixels = new Uint8Array(width * height * 3)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const { coords } = paints[Math.floor(y / side) * columns + Math.floor(x / side)]!
      // a grain as of flake, which is averaged away when it is made smaller
      const grain = (x + y) % 2 === 0 ? 3 : -3
      for (let c = 0; c < 3; c++)
        pixels[(y * width + x) * 3 + c] = Math.min(255, Math.max(0, Math.round(255 * (coords[c] ?? 0)) + grain))
    }
  return pixels
}

const file = join(folder, 'p3.jpg')
/** Kept lying on its side, as a phone held upright does. */
writeFileSync(
  file,
  await encodeJpeg({ pixels: patches(), width, height, space: 'Display P3', quality: 95, onItsSide: true, exif: null }),
)

type Read = { width: number; height: number; at: (x: number, y: number) => Color }
/** The mean of a few pixels around a place given in fractions, in the file's own profile. */
async function read(path: string): Promise<Read> {
  const profileOf = async (of: string) => (await sharp(of).metadata()).icc
  // without it, numbers meant for Display P3 would be shown as sRGB
  expect(await profileOf(path)).toEqual(await profileOf(file))
  const { data, info } = await sharp(path, { ignoreIcc: true, autoOrient: true })
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true })
  const half = Math.max(2, Math.round(info.width / columns / 6))
  return {
    width: info.width,
    height: info.height,
    at: (fx, fy) => {
      const sum = [0, 0, 0]
      let count = 0
      const [cx, cy] = [Math.round(fx * info.width), Math.round(fy * info.height)]
      for (let y = cy - half; y <= cy + half; y++)
        for (let x = cx - half; x <= cx + half; x++, count++)
          for (let c = 0; c < 3; c++) sum[c]! += data[(y * info.width + x) * 3 + c] ?? 0
      return new Color('p3', [sum[0]! / count / 255, sum[1]! / count / 255, sum[2]! / count / 255])
    },
  }
}

const places = paints.map((_, i) => [((i % columns) + 0.5) / columns, (Math.floor(i / columns) + 0.5) / rows] as const)

/** Of all paints, how far the worst is from what it is in the photo. */
const worst = (small: Read, whole: Read): number =>
  Math.max(...places.map(([x, y]) => small.at(x, y).deltaE(whole.at(x, y), '2000')))

test('the photo says Display P3, and some of its paints lie outside sRGB, or these tests would show nothing', async () => {
  const { icc } = await sharp(file).metadata()
  expect(icc?.toString('latin1').replaceAll('\0', '')).toContain('P3')
  expect(paints.filter((paint) => !paint.inGamut('srgb')).length).toBeGreaterThan(4)
})

test.each(Object.entries(renditionSides) as [RenditionSize, number][])(
  '%s, at most %i pixels wide: upright, in the photo’s profile, within 1 dE00 of it',
  async (size, longest) => {
    const out = join(folder, `${size}.webp`)
    await makeRendition(file, size, out)
    const [small, whole] = [await read(out), await read(file)]
    expect(small.width).toBe(Math.min(longest, width))
    expect(small.width / small.height).toBeCloseTo(width / height, 1)
    expect(worst(small, whole)).toBeLessThan(1)
  },
)

test('made together as a photo comes in: the thumbnail from the larger picture, and just as near to the photo', async () => {
  const { thumb, view } = await smallPictures(file, await factsOf(file))
  const whole = await read(file)
  for (const [name, bytes] of [
    ['together-thumb.webp', thumb],
    ['together-view.webp', view],
  ] as const) {
    writeFileSync(join(folder, name), bytes)
    expect(worst(await read(join(folder, name)), whole)).toBeLessThan(1)
  }
})

const all: Quad = [
  [0, 0],
  [width, 0],
  [width, height],
  [0, height],
]

test.each(Object.entries(cutSides) as [CutSize, number][])(
  'a cut-out %s has %i pixels on its longer side, and the photo’s colours',
  async (size, longest) => {
    const out = join(folder, `cut-${size}.webp`)
    await makeCut(file, { kind: 'quad', quad: all }, out, size)
    const small = await read(out)
    expect([small.width, small.height]).toEqual([longest, Math.round((longest * height) / width)])
    expect(worst(small, await read(file))).toBeLessThan(1)
  },
)

test('a small cut-out made from the usual one has its colours and profile', async () => {
  const [usual, small] = [join(folder, 'usual.webp'), join(folder, 'small.webp')]
  await makeCut(file, { kind: 'quad', quad: all }, usual)
  await shrinkCut(usual, 'small', small)
  const read1 = await read(small)
  expect(read1.width).toBe(cutSides.small)
  expect(worst(read1, await read(file))).toBeLessThan(1)
})

test('several cut-outs of one photo: each shows its own paint; one without an inside is named and left out', async () => {
  mkdirSync(join(folder, 'many'))
  const cuts = paints.map((_, i) => {
    const [left, top] = [(i % columns) * side + 60, Math.floor(i / columns) * side + 60]
    const [right, bottom] = [left + side - 120, top + side - 120]
    const quad: Quad = [
      [left, top],
      [right, top],
      [right, bottom],
      [left, bottom],
    ]
    return {
      shape: { kind: 'quad' as const, quad },
      size: 'usual' as const,
      outPath: join(folder, 'many', `${i}.webp`),
    }
  })
  const [a, b, c, d] = all
  const crossed = { shape: { kind: 'quad' as const, quad: [a, c, b, d] as Quad }, size: 'usual' as const }
  const bad = { ...crossed, outPath: join(folder, 'many', 'bad.webp') }
  expect((await makeCuts(file, [...cuts, bad])).left).toEqual([bad])
  const whole = await read(file)
  for (const [i, [x, y]] of places.entries()) {
    const cut = await read(join(folder, 'many', `${i}.webp`))
    expect(cut.at(0.5, 0.5).deltaE(whole.at(x, y), '2000')).toBeLessThan(1)
  }
})

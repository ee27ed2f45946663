/** Readings, renditions and cut-outs of real files, made here with known colours. */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Color from 'colorjs.io'
import sharp from 'sharp'
import { afterAll, describe, expect, it } from 'vitest'
import { makeCut } from '../../electron/photos/cuts.ts'
import { encodeJpeg } from '../../electron/photos/encode.ts'
import { keptPhoto } from '../../electron/photos/kept.ts'
import { readPhoto } from '../../electron/photos/read.ts'
import { makeRendition } from '../../electron/photos/renditions.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'

const folder = mkdtempSync(join(tmpdir(), 'pictures-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const [width, height] = [480, 320]
const box = (x0: number, y0: number, x1: number, y1: number): Quad => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
]
const panel = box(40, 40, 240, 280)
const card = box(300, 80, 440, 240)

/** A panel of a red that sRGB cannot hold, and a grey card, as Display P3 numbers by colorjs.io. */
const paint = new Color('p3', [0.92, 0.1, 0.12])
const grey = new Color('lab', [50, 0, 0]).to('p3')
const sheet = new Color('lab', [75, 0, 0]).to('p3')
function scene(): Uint8Array {
  const pixels = new Uint8Array(width * height * 3)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const inside = (quad: Quad) => x >= quad[0][0] && x < quad[2][0] && y >= quad[0][1] && y < quad[2][1]
      const colour = inside(panel) ? paint : inside(card) ? grey : sheet
      for (let c = 0; c < 3; c++) pixels[(y * width + x) * 3 + c] = Math.round(255 * (colour.coords[c] ?? 0))
    }
  }
  return pixels
}
const layout: Layout = {
  areas: [{ stepId: null, shape: { kind: 'quad', quad: panel } }],
  card: { quad: card, lab: { l: 50, a: 0, b: 0 } },
}

const path = join(folder, 'p3.jpg')
const sidePath = join(folder, 'side.jpg')
const picture = { pixels: scene(), width, height, space: 'Display P3' as const, quality: 98, exif: null }
writeFileSync(path, await encodeJpeg({ ...picture, onItsSide: false }))
writeFileSync(sidePath, await encodeJpeg({ ...picture, onItsSide: true }))

describe('reading a Display P3 file', () => {
  it.each([
    ['upright', path],
    ['stored on its side', sidePath],
  ])('%s: a colour outside sRGB comes back', async (_, file) => {
    // the picture was drawn without a tone curve
    const { results, photo } = await readPhoto(file, layout, { tone: 'none' })
    const { lab } = results[0]!.colour!
    expect(photo).toEqual([])
    // 8-bit numbers of a channel near 0 and JPEG allow this much
    expect(new Color('lab', [lab.l, lab.a, lab.b]).deltaE(paint.to('lab'), '2000')).toBeLessThan(0.8)
    expect(new Color('lab', [lab.l, lab.a, lab.b]).inGamut('srgb')).toBe(false)
  })

  it.each([
    ['upright', path],
    ['stored on its side', sidePath],
  ])('%s: reads the same when only a part of a large photo is decoded', async (_, file) => {
    const small = { kind: 'quad' as const, quad: box(180, 100, 230, 150) }
    const marked = {
      areas: [{ stepId: null, shape: small }],
      card: { ...layout.card!, quad: box(310, 100, 350, 150) },
    }
    const whole = await readPhoto(file, marked, { tone: 'none' })
    const part = await readPhoto(file, marked, { tone: 'none', wholePhoto: 0 })
    expect(part.results[0]!.colour!.lab).toEqual(whole.results[0]!.colour!.lab)
    expect(part.results[0]!.colour!.bound90).toBeCloseTo(whole.results[0]!.colour!.bound90, 9)
  })

  it('decodes a photo once while its corners are moved, and again when the file is another', async () => {
    const file = join(folder, 'moving.jpg')
    writeFileSync(file, readFileSync(path))
    const whole = () => null
    const [first, second] = await Promise.all([keptPhoto(file, whole), keptPhoto(file, whole)])
    expect(second.pixels).toBe(first.pixels)
    const moved: Layout = { ...layout, areas: [{ stepId: null, shape: { kind: 'quad', quad: box(60, 60, 200, 200) } }] }
    const warm = await readPhoto(file, moved)
    expect((await keptPhoto(file, whole)).pixels).toBe(first.pixels)
    await readPhoto(path, layout)
    expect((await keptPhoto(file, whole)).pixels).not.toBe(first.pixels)
    expect(await readPhoto(file, moved)).toEqual(warm)
    const { data } = await sharp(path, { ignoreIcc: true }).negate().raw().toBuffer({ resolveWithObject: true })
    writeFileSync(file, await encodeJpeg({ ...picture, pixels: data, onItsSide: false }))
    expect((await readPhoto(file, moved)).results).not.toEqual(warm.results)
  })

  it('a photo that could not be read is asked for again', async () => {
    const file = join(folder, 'mended.jpg')
    const bytes = readFileSync(path)
    writeFileSync(file, bytes.subarray(0, Math.floor(bytes.length * 0.6)))
    await expect(readPhoto(file, layout)).rejects.toBeInstanceOf(Refusal)
    writeFileSync(file, bytes)
    expect((await readPhoto(file, layout)).results[0]!.colour).not.toBeNull()
  })

  it('refuses a file that is not there to be read to its end', async () => {
    const cut = join(folder, 'cut.jpg')
    const whole = readFileSync(path)
    writeFileSync(cut, whole.subarray(0, Math.floor(whole.length * 0.6)))
    await expect(readPhoto(cut, layout)).rejects.toBeInstanceOf(Refusal)
  })
})

const numbersAt = async (file: string, x: number, y: number) => {
  const { data, info } = await sharp(file, { ignoreIcc: true })
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true })
  return [...data.subarray((y * info.width + x) * 3, (y * info.width + x) * 3 + 3)]
}
const close = (got: number[], colour: Color, tolerance: number) =>
  got.forEach((v, c) => expect(Math.abs(v - 255 * (colour.coords[c] ?? 0))).toBeLessThan(tolerance))

describe('renditions', () => {
  it.each([
    ['thumb', 320, 213],
    ['view', 480, 320],
  ] as const)('%s: upright, profile and numbers kept, never enlarged', async (size, w, h) => {
    const out = join(folder, `${size}.webp`)
    await makeRendition(sidePath, size, out)
    const metadata = await sharp(out).metadata()
    expect(metadata).toMatchObject({ format: 'webp', width: w, height: h })
    expect(metadata.icc?.length).toBeGreaterThan(100)
    // lossy WebP stores colour at half resolution and in video range
    close(await numbersAt(out, Math.round(w * 0.3), Math.round(h / 2)), paint, 8)
  })

  it('leaves nothing behind when the photo cannot be read', async () => {
    const bad = join(folder, 'bad.jpg')
    writeFileSync(bad, 'no picture')
    const out = join(folder, 'never.webp')
    await expect(makeRendition(bad, 'thumb', out)).rejects.toBeInstanceOf(Refusal)
    expect(existsSync(out)).toBe(false)
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([])
  })
})

describe('cut-outs', () => {
  it('has the proportions of its quadrilateral, its colour and the photo’s profile', async () => {
    const out = join(folder, 'cut.webp')
    await makeCut(path, { kind: 'quad', quad: panel }, out)
    const metadata = await sharp(out).metadata()
    expect(metadata).toMatchObject({ width: 213, height: 256 })
    expect(metadata.icc).toEqual((await sharp(path).metadata()).icc)
    close(await numbersAt(out, 106, 128), paint, 8)
  })

  it('turns a slanted quadrilateral upright: nothing of its surroundings is in it', async () => {
    const out = join(folder, 'slant.webp')
    const inside: Quad = [
      [60, 70],
      [220, 50],
      [230, 250],
      [50, 270],
    ]
    await makeCut(path, { kind: 'quad', quad: inside }, out)
    const { width: w, height: h } = await sharp(out).metadata()
    const corners = [
      [2, 2],
      [w - 3, 2],
      [w - 3, h - 3],
      [2, h - 3],
    ] as const
    const seen = await Promise.all(corners.map(([x, y]) => numbersAt(out, x, y)))
    for (const [r, g, b] of seen) {
      expect(r).toBeGreaterThan(215)
      expect(Math.max(g!, b!)).toBeLessThan(60)
    }
  })

  it('of a round area is the square around it', async () => {
    const out = join(folder, 'round.webp')
    await makeCut(path, { kind: 'round', centre: [140, 160], radius: 50 }, out)
    expect(await sharp(out).metadata()).toMatchObject({ width: 256, height: 256 })
  })

  it('of a crossed outline is refused', async () => {
    const [a, b, c, d] = panel
    const cut = makeCut(path, { kind: 'quad', quad: [a, c, b, d] }, join(folder, 'x.webp'))
    await expect(cut).rejects.toMatchObject({ code: 'photo/bad-outline' })
  })
})

/**
 * Symbols are made by the writer of zxing-cpp (ISO/IEC 18004) and photographed by the small renderer beside this file, which
 * knows where their corners land.
 */
import { describe, expect, it } from 'vitest'
import { readSymbols } from '../../../electron/photos/symbols/read-symbols.ts'
import { homographyBetween } from '../../../shared-core/capture/geometry.ts'
import type { Quad } from '../../../shared-core/records/area.ts'
import { landing, putSymbolAt, random, type Sticker, symbolScene } from './symbol-scene.ts'

const label = (next: () => number, symbolMm: number): Sticker => ({
  text: `P-${String(Math.floor(next() * 9999)).padStart(4, '0')}`,
  xMm: 0,
  yMm: 0,
  turnDegrees: next() * 360,
  widthMm: symbolMm * 3,
  heightMm: symbolMm * 2.5,
  symbolMm,
})

/** A label away from the middle of a picture of 12 megapixels, and the part of the picture around it. */
async function photographed(seed: number, symbolMm: number, pxPerMm: number, blur: number, side: number) {
  const next = random(seed)
  const view = { pxPerMm, tiltDegrees: 40, towardsDegrees: next() * 360, rollDegrees: next() * 360 }
  const [towards, sticker] = [next() * 2 * Math.PI, label(next, symbolMm)]
  const middle: [number, number] = [100 * Math.cos(towards), 75 * Math.sin(towards)]
  const [x, y] = landing(view)(...middle)
  putSymbolAt(sticker, middle)
  const part = { left: Math.round(x - side / 2), top: Math.round(y - side / 2), width: side, height: side }
  const { grey, truth } = await symbolScene(view, part, [sticker], { blur, noise: 3, seed })
  return { grey, quad: truth[0] as Quad, text: sticker.text }
}

const furthest = (quad: Quad, truth: Quad): number =>
  Math.max(...quad.map(([x, y], i) => Math.hypot(x - truth[i]![0], y - truth[i]![1])))

describe('symbols in a photo', () => {
  it('reads the symbol of a label 20 mm high (8 mm a side) at 40° tilt, somewhat blurred, and tells its corners', async () => {
    const count = 24
    let read = 0
    const off: number[] = []
    for (let seed = 1; seed <= count; seed++) {
      const pxPerMm = 10 + 3 * random(seed * 31)()
      const { grey, quad, text } = await photographed(seed, 8, pxPerMm, 1.2, 320)
      const found = await readSymbols(grey)
      expect(found.filter((each) => each.text !== text)).toEqual([])
      if (!found[0]) continue
      read++
      off.push(furthest(found[0].quad, quad))
    }
    expect(read / count).toBeGreaterThanOrEqual(0.95)
    off.sort((a, b) => a - b)
    expect(off[Math.floor(off.length / 2)]).toBeLessThan(0.3)
    expect(off.at(-1)).toBeLessThan(2)
  })

  it('reads the symbol of a sheet whose place is known, in a photo of 4 pixels a millimetre', async () => {
    const count = 20
    let read = 0
    for (let seed = 101; seed < 101 + count; seed++) {
      const { grey, quad, text } = await photographed(seed, 14, 4, 1, 200)
      const place = { xMm: 150, yMm: 12, widthMm: 14, heightMm: 14 }
      const onPage: Quad = [
        [150, 12],
        [164, 12],
        [164, 26],
        [150, 26],
      ]
      // the sheet was found to a pixel
      const next = random(seed)
      const seen = quad.map(([x, y]) => [x + 2 * next() - 1, y + 2 * next() - 1]) as Quad
      const paper = { widthMm: 210, heightMm: 297 }
      const sheet = {
        print: { paper, panel: { widthMm: 100, heightMm: 150 }, series: 1 },
        toPhoto: [...homographyBetween(onPage, seen)],
        missing: [],
      }
      const found = await readSymbols(grey, { sheet, place })
      if (found.some((each) => each.text === text)) read++
    }
    expect(read / count).toBeGreaterThanOrEqual(0.95)
  })

  it('reads several in one picture, each once', async () => {
    const view = { pxPerMm: 10, tiltDegrees: 10, towardsDegrees: 70, rollDegrees: 5 }
    const part = { left: 1400, top: 1100, width: 1200, height: 800 }
    const stickers = [0, 1, 2].map(
      (i): Sticker => ({ ...label(random(i + 7), 8), xMm: -50 + 35 * i, yMm: -20, turnDegrees: 10 * i }),
    )
    const { grey } = await symbolScene(view, part, stickers, { blur: 1, noise: 2, seed: 3 })
    const texts = (await readSymbols(grey)).map(({ text }) => text)
    expect(texts.toSorted()).toEqual(stickers.map(({ text }) => text).toSorted())
  })

  it('reads nothing in noise, weaves and symbols that make no sense', async () => {
    for (let seed = 1; seed <= 6; seed++) {
      const next = random(seed)
      const cell = 2 + Math.floor(next() * 5)
      const dark = new Uint8Array(40_000).map(() => (next() < 0.5 ? 20 : 230))
      const isNoise = seed % 3 === 0
      const data = Uint8Array.from({ length: 500 * 400 }, (_, i) =>
        isNoise ? next() * 255 : dark[(Math.floor((i % 500) / cell) * 193 + Math.floor(i / 500 / cell) * 7) % 40_000]!,
      )
      if (seed % 3 === 1)
        for (const [x, y] of [
          [100, 100],
          [170, 100],
          [100, 170],
        ] as const)
          drawFinder(data, 500, x, y, 5)
      expect(await readSymbols({ width: 500, height: 400, data })).toEqual([])
    }
  })

  it('throws at nothing that is no picture', async () => {
    const odd: [number, number, number][] = [
      [0, 0, 0],
      [1, 1, 1],
      [16, 16, 256],
      [17, 400, 6800],
      [100, 100, 99],
      [Number.NaN, 100, 100],
      [-5, -5, 25],
      [1.5, 100, 150],
    ]
    for (const [width, height, length] of odd)
      expect(await readSymbols({ width, height, data: new Uint8Array(length) })).toEqual([])
    const grey = { width: 64, height: 64, data: new Uint8Array(4096) }
    const print = { paper: { widthMm: 210, heightMm: 297 }, panel: { widthMm: 100, heightMm: 150 }, series: 1 }
    const place = { xMm: 0, yMm: 0, widthMm: 20, heightMm: 20 }
    const maps = [
      [],
      Array(9).fill(0),
      Array(9).fill(Number.NaN),
      [1e300, 0, 0, 0, 1e300, 0, 0, 0, 1],
      [1, 0, 0, 0, 1, 0, 1, 1, -20],
    ]
    for (const toPhoto of maps)
      expect(await readSymbols(grey, { sheet: { print, toPhoto, missing: [] }, place })).toEqual([])
  })
})

/** Seven by seven modules: dark, light, dark by 1:1:3:1:1. */
function drawFinder(data: Uint8Array, width: number, left: number, top: number, module: number): void {
  for (let y = 0; y < 9 * module; y++)
    for (let x = 0; x < 9 * module; x++) {
      const ring = Math.max(Math.abs(Math.floor(x / module) - 4), Math.abs(Math.floor(y / module) - 4))
      data[(top + y) * width + left + x] = ring === 4 || ring === 2 ? 240 : 10
    }
}

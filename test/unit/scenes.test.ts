/** Rendered photos judge what is found and read: what they say is true must be so. Open spectra beside the project are needed. */
import { converter } from 'culori'
import { beforeAll, describe, expect, it } from 'vitest'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import type { Point, Quad } from '../../shared-core/records/area.ts'
import { renderShot } from '../bench/scenes/picture/render.ts'
import type { Shot } from '../bench/scenes/picture/shot.ts'
import { intersectionOverUnion } from '../bench/scenes/proposals/overlap.ts'
import { printedSheet } from '../bench/scenes/sheet/page.ts'
import { planSheetPhoto, type SheetPhoto } from '../bench/scenes/sheet/plan.ts'
import { idealCamera } from '../bench/scenes/spectra/camera.ts'
import { sceneData } from '../bench/scenes/spectra/data.ts'
import { lightNamed } from '../bench/scenes/spectra/lights.ts'
import { labOf } from '../bench/scenes/spectra/paints.ts'
import { anyPrinter } from '../bench/scenes/spectra/printer.ts'
import { boundariesOf, compare } from '../bench/scenes/steps/measure.ts'
import { planSteps } from '../bench/scenes/steps/plan.ts'

const isAbsent = (() => {
  try {
    sceneData()
    return false
  } catch {
    return true
  }
})()

const pixelAt = (pixels: Uint8Array, { width }: Shot, [x, y]: Point): [number, number, number] => {
  const i = 3 * (Math.floor(y) * width + Math.floor(x))
  return [pixels[i]!, pixels[i + 1]!, pixels[i + 2]!]
}

describe.skipIf(isAbsent)('a rendered sheet', () => {
  const printer = isAbsent ? null : anyPrinter(randomFrom('scenes test'))
  let photo: SheetPhoto
  let pixels: Uint8Array

  /** A camera that sees as the standard observer does, in D50 that is even all over; the lens and the paper may bend. */
  beforeAll(async () => {
    const random = randomFrom('scenes test')
    const sheet = await printedSheet(
      { paper: { widthMm: 210, heightMm: 297 }, panel: { widthMm: 100, heightMm: 150 }, series: 7 },
      'P-0042',
    )
    const own = idealCamera(random)
    const given = {
      sheet,
      printer: printer!,
      camera: { ...own, shot: 0, read: 0 },
      light: lightNamed('D50'),
      balance: [0, 0] as const,
      withChart: false,
    }
    // Leaned far over, one end of the paper bent up, all corners to be seen.
    let n = 0
    do photo = planSheetPhoto({ ...given, seed: `scenes test/${n++}` })
    while (
      !(photo.truth.isBent && photo.truth.hidden === null && photo.truth.tiltDegrees > 25 && photo.shot.width < 2000)
    )
    const even = { lamp: { at: [0, 0] as const, heightMm: 1e7 }, slope: [0, 0] as const }
    const { shot } = photo
    Object.assign(shot, { field: even, exposure: 1, flare: 0, blur: 0, vignette: 0, specks: [] })
    for (const thing of shot.things) if (thing.what === 'page') Object.assign(thing, { grain: 0, glares: [] })
    pixels = renderShot(shot)
  })

  it('shows each printed place where it says and in the colour of its spectrum (culori decodes the file)', () => {
    const { shot, sheet, truth } = photo
    const toLab = converter('lab')
    const off = [...sheet.places.steps, ...sheet.places.colours].flatMap(({ hex, xMm, yMm, widthMm, heightMm }) => {
      const at = truth.onPhoto([xMm + widthMm / 2, yMm + heightMm / 2])
      const bytes = pixelAt(pixels, shot, at)
      // What the file cannot hold runs into its limit.
      if (bytes.some((v) => v === 0 || v === 255)) return []
      const [r, g, b] = bytes.map((v) => v / 255)
      const mode = shot.camera.space === 'sRGB' ? 'rgb' : 'p3'
      const { l, a, b: yellow } = toLab({ mode, r: r!, g: g!, b: b! })
      return [differenceCiede2000({ l, a, b: yellow }, labOf(printer!.inkOf(hex)))]
    })
    expect(off.length).toBeGreaterThan(25)
    expect(Math.max(...off)).toBeLessThan(1)
  })

  it('has the edges of its corner marks where the truth says', () => {
    const { shot, sheet, truth } = photo
    const dark = (at: Point) => pixelAt(pixels, shot, at)[1] < 128
    for (const { xMm, yMm, widthMm, heightMm } of sheet.places.corners) {
      // The border of a mark is black all round: 0.3 mm inside of it is dark, 0.3 mm outside is paper.
      for (const by of [0.3, 1]) {
        for (const share of [0.02, 0.3, 0.5, 0.98]) {
          const along = xMm + share * widthMm
          const down = yMm + share * heightMm
          const inside: Point[] = [
            [along, yMm + by],
            [along, yMm + heightMm - by],
            [xMm + by, down],
            [xMm + widthMm - by, down],
          ]
          const outside: Point[] = [
            [along, yMm - by],
            [along, yMm + heightMm + by],
            [xMm - by, down],
            [xMm + widthMm + by, down],
          ]
          expect(inside.filter((at) => !dark(truth.onPhoto(at)))).toEqual([])
          expect(outside.filter((at) => dark(truth.onPhoto(at)))).toEqual([])
        }
      }
    }
  })

  it('is printed by something that knows nothing of its inks: darker greys are darker, none is neutral', () => {
    for (let n = 0; n < 8; n++) {
      const { inkOf } = anyPrinter(randomFrom(`printer ${n}`))
      const greys = ['#ffffff', '#c1c1c1', '#868686', '#4d4d4d', '#000000'].map((hex) => labOf(inkOf(hex)))
      for (const [i, grey] of greys.slice(1).entries()) expect(grey.l).toBeLessThan(greys[i]!.l)
      expect(greys[0]!.l).toBeGreaterThan(90)
      expect(greys[4]!.l).toBeLessThan(30)
    }
  })
})

describe('what found things are compared with', () => {
  const square: Quad = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ]

  it('overlaps as geometry says: half of a square 1/3, a square turned by 45° 1/√2', () => {
    const moved = square.map(([x, y]): Point => [x + 0.5, y]) as Quad
    expect(intersectionOverUnion(square, moved)).toBeCloseTo(1 / 3, 12)
    const turned = square.map(([x, y]): Point => {
      const [u, v] = [(x - 0.5) * Math.SQRT1_2, (y - 0.5) * Math.SQRT1_2]
      return [0.5 + u - v, 0.5 + u + v]
    }) as Quad
    expect(intersectionOverUnion(square, turned)).toBeCloseTo(Math.SQRT1_2, 12)
    expect(intersectionOverUnion(square, square.toReversed() as Quad)).toBeCloseTo(1, 12)
    expect(intersectionOverUnion(square, square.map(([x, y]): Point => [x + 2, y]) as Quad)).toBe(0)
  })

  it('takes the true strips of a panel as found, and strips across them as nothing', () => {
    if (isAbsent) return
    const panel = Array.from({ length: 30 }, (_, n) => planSteps(`test/${n}`)).find(
      ({ strips }) => strips?.edges.length === 3,
    )!
    const { strips, panelOn } = panel
    const { across, edges } = strips!
    const length = across === 'width' ? panelOn.widthMm : panelOn.heightMm
    const cuts = [0, ...edges.map(({ atMm }) => atMm / length + 0.5), 1]
    const stripsAlong = (axis: 'width' | 'height', from: Quad): Quad[] =>
      cuts.slice(1).map((end, i) => {
        const at = (u: number, v: number): Point => {
          const [a, b, c, d] = from
          const mix = (p: Point, q: Point, t: number): Point => [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]
          return mix(mix(a, b, u), mix(d, c, u), v)
        }
        const start = cuts[i]!
        return axis === 'width'
          ? [at(start, 0), at(end, 0), at(end, 1), at(start, 1)]
          : [at(0, start), at(1, start), at(1, end), at(0, end)]
      })
    // Flat, so that the corners of strips lie where their shares say.
    const [w, h] = [panelOn.widthMm, panelOn.heightMm]
    const outline: Quad = [
      [0, 0],
      [w, 0],
      [w, h],
      [0, h],
    ]
    const straight = { ...strips!, edges: edges.map((edge) => ({ ...edge, lean: 0 })) }
    const given = { ...panel, strips: straight, outline }
    const right = compare(given, stripsAlong(across, outline))
    expect(right.invented).toBe(0)
    for (const { offMm } of right.boundaries) expect(offMm).toBeLessThan(1e-6)
    const wrong = compare(given, stripsAlong(across === 'width' ? 'height' : 'width', outline))
    expect(wrong.boundaries.every(({ offMm }) => offMm === null)).toBe(true)
    expect(wrong.invented).toBe(3)
    expect(boundariesOf([outline], outline, w, h)).toEqual([])
  })
})

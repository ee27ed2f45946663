/** Photos of printed photo sheets by a camera written for the tests: what paper, inks and a chart on them teach, and what is read by it. */
import Color from 'colorjs.io'
import { beforeAll, describe, expect, it } from 'vitest'
import { noExposure } from '../../electron/photos/exposure.ts'
import { plainCamera } from '../../shared-core/capture/camera/model.ts'
import { correctArea } from '../../shared-core/capture/correct.ts'
import type { Homography } from '../../shared-core/capture/geometry.ts'
import { learnLayout } from '../../shared-core/capture/learn-layout.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { readLayout } from '../../shared-core/capture/read-layout.ts'
import { learnSheet } from '../../shared-core/capture/sheet/learn-sheet.ts'
import { movedSheet, pageOf, quadOnPhoto, type SheetPage, scaleOf } from '../../shared-core/capture/sheet/page.ts'
import { paperLightOf } from '../../shared-core/capture/sheet/paper-light.ts'
import { whitePaperOf } from '../../shared-core/capture/sheet/white-paper.ts'
import { surveyOf } from '../../shared-core/capture/surroundings.ts'
import { decodeTable, srgbProfile } from '../../shared-core/colour/profile.ts'
import { thingsOnSheet } from '../../shared-core/find/on-sheet/things-on-sheet.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import { SheetFit } from '../../shared-core/records/photo-sheet.ts'
import { type LabTriple, rect } from './capture-scene.ts'
import { contrasty, linearCamera, type OtherCamera, type Thing } from './other-camera.ts'
import {
  cardThing,
  chartThings,
  falling,
  layout,
  onWindow,
  page,
  paper,
  perMm,
  print,
  printed,
  sheet,
  size,
  take,
  upright,
  withChart,
} from './sheet-photo.ts'

const learn = (pixels: Pixels, marked: Layout) => learnSheet(pixels, srgbProfile, marked, { exposure: noExposure })
const tables = decodeTable(srgbProfile, 8)

describe('bare paper', () => {
  it('tells light that falls off as it was laid over the page, and the tint of each channel', () => {
    const warm = (x: number, y: number): LabTriple => {
      const [v] = falling(x, y)
      return [v, v * (1 - 0.03 * x), v * (1 - 0.06 * x)]
    }
    const pixels = take([onWindow([40, 30, 10]), cardThing], linearCamera, warm)
    const { cells, overexposed } = whitePaperOf(pixels, tables, page, [])
    const found = paperLightOf(cells, page, plainCamera)
    expect(overexposed).toBe(0)
    const [middle, corners] = [warm(0.5, 0.5), [0.1, 0.5, 0.9].flatMap((x) => [0.1, 0.5, 0.9].map((y) => [x, y]))]
    for (const [x = 0, y = 0] of corners) {
      const by = found!.map.factor([x * size.width, y * size.height])
      for (const c of [0, 1, 2] as const) expect(by[c] * (warm(x, y)[c] / middle[c])).toBeCloseTo(1, 2)
    }
  })

  it('is not led astray by a shadow, a fold or things that lie over a part of it', () => {
    const over = (x: number, y: number): LabTriple => {
      const [v] = falling(x, y)
      const shade = x > 0.72 && y > 0.55 ? 0.6 : 1
      return [v * shade, v * shade, v * shade]
    }
    const tool: Thing = { quad: rect(0, 0, 130, 60), lab: [30, 0, 0] }
    const pixels = take([tool, onWindow([40, 30, 10]), cardThing], linearCamera, over)
    const found = paperLightOf(whitePaperOf(pixels, tables, page, []).cells, page, plainCamera)
    expect(found!.following).toBeLessThan(0.95)
    for (const [x, y] of [
      [0.2, 0.3],
      [0.4, 0.5],
      [0.3, 0.9],
    ] as const) {
      const [v] = found!.map.factor([x * size.width, y * size.height])
      expect(v * (falling(x, y)[0] / falling(0.5, 0.5)[0])).toBeCloseTo(1, 1.7)
    }
  })

  it('that has run into white tells nothing, and that is said', () => {
    const pixels = take([onWindow([40, 30, 10]), cardThing], { ...linearCamera, balance: [3, 3, 3] })
    const { photo, results } = readLayout(pixels, srgbProfile, layout)
    expect(photo.map(({ code }) => code)).toContain('photo/sheet-overexposed')
    expect(results[0]?.colour?.level).toBe('card')
  })
})

describe('a sheet photographed once with a chart', () => {
  const panels: LabTriple[] = [
    [44, 38, 22],
    [58, -24, -18],
  ]
  /** The same camera another day: a stop darker, balanced otherwise. */
  const later: OtherCamera = { ...contrasty, balance: [0.5, 0.55, 0.46] }
  /** Another camera altogether. */
  const other: OtherCamera = { steep: 2.2, flare: 0.008, balance: [0.6, 0.66, 0.7], vivid: -0.05 }
  let fit: SheetFit

  beforeAll(() => {
    const { fit: found, refused } = learn(take([onWindow([70, 5, 30]), ...chartThings(upright)]), withChart)
    if (!found) throw new Error(refused?.message)
    fit = found
  })

  it('is known: its white and inks come out as they are, and can be kept', () => {
    const away = fit.inks.map((ink) =>
      new Color('lab', [ink!.lab.l, ink!.lab.a, ink!.lab.b]).deltaE(new Color('lab', printed(ink!.hex)), '2000'),
    )
    expect(away.toSorted((a, b) => a - b)[Math.floor(away.length / 2)]).toBeLessThan(1.2)
    expect(Math.max(...away)).toBeLessThan(4)
    expect(Math.abs(fit.white.lab.l - paper[0])).toBeLessThan(1)
    expect(SheetFit.parse(JSON.parse(JSON.stringify(fit)))).toEqual(fit)
  })

  it.each([
    ['the same camera', later],
    ['another camera', other],
  ])('reads better in a later photo of %s than the card alone, and says so', (_name, camera) => {
    const errors = panels.map((panel) => {
      const pixels = take([onWindow(panel), cardThing], camera)
      const errorOf = (marked: Layout, knownSheet: SheetFit | null) => {
        const colour = readLayout(pixels, srgbProfile, marked, { knownSheet }).results[0]!.colour!
        const { l, a, b } = colour.lab
        const de00 = new Color('lab', [l, a, b]).deltaE(new Color('lab', panel), '2000')
        return { de00, level: colour.level, bound90: colour.bound90 }
      }
      const { sheet: _, ...plain } = layout
      return { known: errorOf(layout, fit), unknown: errorOf(layout, null), alone: errorOf(plain, null) }
    })
    const sum = (pick: (one: (typeof errors)[number]) => number) => errors.reduce((total, one) => total + pick(one), 0)
    expect(sum(({ known }) => known.de00)).toBeLessThan(0.6 * sum(({ alone }) => alone.de00))
    expect(sum(({ unknown }) => unknown.de00)).toBeLessThan(sum(({ alone }) => alone.de00))
    expect(errors.map(({ known }) => known.level)).toEqual(['sheet', 'sheet'])
    expect(sum(({ known }) => known.bound90)).toBeLessThan(sum(({ alone }) => alone.bound90))
  })

  it('that was learnt in another light says so and is trusted less', () => {
    const pixels = take([onWindow(panels[0]!), cardThing], later)
    const read = (sheetFromOtherLight: boolean) =>
      readLayout(pixels, srgbProfile, layout, { knownSheet: fit, sheetFromOtherLight })
    const [same, foreign] = [read(false), read(true)]
    expect(foreign.photo.map(({ code }) => code)).toContain('photo/sheet-other-light')
    expect(same.photo.map(({ code }) => code)).not.toContain('photo/sheet-other-light')
    expect(foreign.results[0]!.colour!.bound90).toBeGreaterThan(same.results[0]!.colour!.bound90)
  })
})

describe('what else is read by a sheet', () => {
  const pixels = take([onWindow([44, 38, 22]), cardThing])
  const survey = surveyOf(pixels, srgbProfile)

  it('is a corrected picture whose mean is the reading', () => {
    const { lab } = readLayout(pixels, srgbProfile, layout, { survey }).results[0]!.colour!
    const learned = learnLayout(pixels, srgbProfile, layout, { tone: 'unknown', survey, setup: null, flat: null })
    const work = correctArea(pixels, srgbProfile, layout.areas[0]!.shape, learned, 'Display P3')
    let step = work.next()
    while (!step.done) step = work.next()
    const { l, a, b } = step.value.mean
    expect(new Color('lab', [l, a, b]).deltaE(new Color('lab', [lab.l, lab.a, lab.b]), '2000')).toBeLessThan(0.5)
  })

  it('is the scale: a pixel is half a millimetre here, and a card’s usual size does not count against it', () => {
    expect(scaleOf({ sheet, mmPerPixel: 3 })).toBeCloseTo(1 / perMm, 9)
    expect(scaleOf({ sheet: null, mmPerPixel: 3 })).toBe(3)
    expect(scaleOf({})).toBe(null)
  })

  it('is a tile or a chart in the photo, with the light that the paper told', () => {
    const lit = take([onWindow([44, 38, 22]), cardThing, ...chartThings(upright)])
    const marked = { ...layout, chart: { quad: upright, table: 'avg30' as const } }
    const colour = readLayout(lit, srgbProfile, marked).results[0]!.colour!
    expect(colour.level).toBe('chart')
    expect(colour.parts.map(({ cause }) => cause)).toContain('sheet-light')
    expect(
      new Color('lab', [colour.lab.l, colour.lab.a, colour.lab.b]).deltaE(new Color('lab', [44, 38, 22]), '2000'),
    ).toBeLessThan(colour.bound90)
  })

  it('without a card is its paper alone, which is said', () => {
    const { results, photo } = readLayout(pixels, srgbProfile, { ...layout, card: null }, { survey })
    expect(photo.map(({ code, weight }) => [code, weight])).toContainEqual(['photo/no-card', 'note'])
    const { lab, bound90, level } = results[0]!.colour!
    expect(level).toBe('card')
    expect(new Color('lab', [lab.l, lab.a, lab.b]).deltaE(new Color('lab', [44, 38, 22]), '2000')).toBeLessThan(bound90)
  })
})

describe('what cannot be learnt is refused in words', () => {
  const taken = take([onWindow([70, 5, 30]), ...chartThings(upright)])
  it.each<[string, Layout, string]>([
    ['without a sheet', { ...withChart, sheet: null }, 'sheet/not-seen'],
    ['without a chart', { ...withChart, chart: null }, 'sheet/no-chart'],
    [
      'with a chart marked beside it',
      { ...withChart, chart: { quad: onWindow([0, 0, 0]).quad, table: 'avg30' } },
      'sheet/unreadable',
    ],
    [
      'of a page that cannot be',
      { ...withChart, sheet: { ...sheet, toPhoto: [0, 0, 5, 0, 0, 5, 0, 0, 1] } },
      'sheet/not-seen',
    ],
    [
      'of a panel that has no room on its page',
      { ...withChart, sheet: { ...sheet, print: { ...print, panel: { widthMm: 209, heightMm: 296 } } } },
      'sheet/not-seen',
    ],
  ])('%s', (_name, marked, code) => {
    const { fit, refused } = learn(taken, marked)
    expect(fit).toBe(null)
    expect(refused?.code).toBe(code)
    expect(refused?.remedy).not.toBe('')
  })
})

describe('things on a sheet', () => {
  it('are found in their places; a chart whichever way round, by its colours', () => {
    const turned: Quad = [upright[2], upright[3], upright[0], upright[1]]
    for (const quad of [upright, turned]) {
      const found = thingsOnSheet(take([onWindow([40, 30, 10]), cardThing, ...chartThings(quad)]), srgbProfile, sheet)
      const off = found?.chart?.quad.map(([x, y], i) => Math.hypot(x - quad[i]![0], y - quad[i]![1]) / perMm) ?? [99]
      expect(Math.max(...off)).toBeLessThan(0.5)
      expect(found?.card?.confidence).toBeGreaterThan(0.5)
    }
  })

  it('lie where they were laid, some millimetres off their place', () => {
    const moved = (quad: Quad, dx: number, dy: number): Quad =>
      quad.map(([x, y]) => [x + dx * perMm, y + dy * perMm]) as Quad
    const panelQuad = moved(onWindow([0, 0, 0]).quad, 2.4, -1.6)
    const cardQuad = moved(cardThing.quad, -2, 2)
    const pixels = take([
      { quad: panelQuad, lab: [52, -20, 12] },
      { quad: cardQuad, lab: cardThing.lab },
    ])
    const found = thingsOnSheet(pixels, srgbProfile, sheet)
    for (const [seen, truth] of [
      [found?.panel.quad, panelQuad],
      [found?.card?.quad, cardQuad],
    ] as const) {
      const off = seen?.map(([x, y], i) => Math.hypot(x - truth[i]![0], y - truth[i]![1]) / perMm) ?? [99]
      expect(Math.max(...off)).toBeLessThan(0.5)
    }
    expect(found?.chart).toBe(null)
  })

  it('are not seen where there are none', () => {
    const found = thingsOnSheet(take([]), srgbProfile, sheet)
    expect(found?.panel.confidence).toBeLessThan(0.5)
    expect([found?.card, found?.chart]).toEqual([null, null])
  })
})

describe('a sheet in a part of a photo', () => {
  it('lies where it lay', () => {
    const moved = pageOf(movedSheet(sheet, -30, -12)) as SheetPage
    const at = (h: Homography) => quadOnPhoto({ toPhoto: h }, page.places.window)
    expect(at(moved.toPhoto)).toEqual(at(page.toPhoto).map(([x, y]) => [x - 30, y - 12]))
  })
})

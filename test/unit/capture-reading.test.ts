/** Rendered pixels whose colours are known: numbers made with colorjs.io, read back by `readLayout`. */
import Color from 'colorjs.io'
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readLayout } from '../../shared-core/capture/read-layout.ts'
import { srgbProfile } from '../../shared-core/colour/profile.ts'
import type { AreaResult } from '../../shared-core/contract/photo-calls.ts'
import { cardQuad, type LabTriple, layoutOf, linearOf, panelQuad, type Scene, sceneOf } from './capture-scene.ts'

// the scenes are drawn without a tone curve
const read = (scene: Scene, layout = layoutOf()) => readLayout(sceneOf(scene), srgbProfile, layout, { tone: 'none' })
const codes = (cautions: { code: string }[]) => cautions.map(({ code }) => code)
const errorOf = ({ colour }: AreaResult, lab: LabTriple) =>
  new Color('lab', [colour!.lab.l, colour!.lab.a, colour!.lab.b]).deltaE(new Color('lab', lab), '2000')

describe('gain from the card', () => {
  it('gives every colour back, whatever the exposure and colour of the light', () => {
    const channel = fc.double({ min: 0.02, max: 0.9, noNaN: true })
    const light = fc.double({ min: 0.35, max: 1, noNaN: true })
    fc.assert(
      fc.property(fc.tuple(channel, channel, channel), fc.tuple(light, light, light), (linear, colour) => {
        const lab = new Color('srgb-linear', linear).to('lab').coords as LabTriple
        const { results } = read({ panel: lab, light: colour })
        expect(errorOf(results[0]!, lab)).toBeLessThan(0.05)
      }),
      { numRuns: 25 },
    )
  })

  it('reaches L* above 100', () => {
    const { results } = read({ panel: [108, 0, 2], light: [0.5, 0.5, 0.5] })
    expect(results[0]!.colour!.lab.l).toBeCloseTo(108, 1)
  })

  it('says what the reading is', () => {
    const { colour } = read({ panel: [45, 40, 20] }).results[0]!
    expect(colour).toMatchObject({ illuminant: 'D50', observer: '2', geometry: 'photo', level: 'card', cautions: [] })
    expect(Math.hypot(...colour!.parts.map((p) => p.de00))).toBeCloseTo(colour!.bound90, 9)
  })

  it('trusts a colour like the card’s more than one far from it: the card pins one point of the camera’s tone curve', () => {
    const bound = (panel: LabTriple) => read({ panel }).results[0]!.colour!.bound90
    const [alike, near, far] = [bound([51, 0, 0]), bound([60, 0, 0]), bound([92, 0, 0])]
    expect(alike).toBeLessThan(near)
    expect(near).toBeLessThan(far)
    expect(bound([51, 60, 40])).toBeGreaterThan(near)
  })

  it('allows for no tone curve where the file is known to have none', () => {
    const pixels = sceneOf({ panel: [85, 10, 40] })
    const [camera, plain] = (['unknown', 'none'] as const).map(
      (tone) => readLayout(pixels, srgbProfile, layoutOf(), { tone }).results[0]!,
    )
    expect(errorOf(plain!, [85, 10, 40])).toBeLessThan(0.05)
    // cameras at large bend tone, so a file of unknown making is read as if one had; the bound allows for one that had not
    expect(errorOf(camera!, [85, 10, 40])).toBeGreaterThan(1)
    // no curve at all is rare: the 90 % bound need not hold there, but it must not be far off
    expect(errorOf(camera!, [85, 10, 40])).toBeLessThan(1.3 * camera!.colour!.bound90)
    expect(plain!.colour!.bound90).toBeLessThan(camera!.colour!.bound90 / 2)
  })

  it('without a card marks the reading as uncalibrated, with a wide bound', () => {
    const { results, photo } = read({ panel: [45, 40, 20] }, layoutOf(undefined, false))
    expect(results[0]!.colour!.level).toBe('uncalibrated')
    expect(results[0]!.colour!.bound90).toBeGreaterThanOrEqual(20)
    expect(codes(photo)).toEqual(['photo/no-card'])
    expect(codes(results[0]!.colour!.cautions)).toContain('photo/no-card')
  })
})

const spot = (x: number, y: number, radius: number) => (px: number, py: number) =>
  Math.exp(-(((px - x) ** 2 + (py - y) ** 2) / radius ** 2))

const dim = (v: LabTriple, x: number, y: number): LabTriple =>
  x < 60 && y > 70 ? (v.map((c) => c * 0.6) as LabTriple) : v

const dust = (v: LabTriple, x: number, y: number): LabTriple =>
  x < 140 && (x * 7 + y * 13) % 197 === 0 ? ((x + y) % 2 ? [0.9, 0.9, 0.9] : [0, 0, 0]) : v

const flood = (v: LabTriple, x: number): LabTriple => (x < 137 ? (v.map((c) => c + 3) as LabTriple) : v)

describe('what is left out of an area', () => {
  const paint: LabTriple = [48, 35, 25]
  const light: LabTriple = [0.6, 0.5, 0.4]

  it.each([
    ['a small hard glare', spot(60, 60, 12), 3],
    ['a soft glare over a quarter of the panel', spot(40, 40, 30), 0.8],
  ])('%s', (_, lobe, strength) => {
    const add = (v: LabTriple, x: number, y: number): LabTriple =>
      x < 140 ? (v.map((c, i) => c + strength * light[i]! * lobe(x, y)) as LabTriple) : v
    const { results } = read({ panel: paint, light, change: add })
    expect(errorOf(results[0]!, paint)).toBeLessThan(1)
    expect(results[0]!.colour!.parts.map((p) => p.cause)).toContain('glare')
  })

  it('a glare that fades out over nearly the whole panel: not undone, but the bound covers what is left', () => {
    const lobe = spot(40, 40, 45)
    const add = (v: LabTriple, x: number, y: number): LabTriple =>
      x < 140 ? (v.map((c, i) => c + 0.8 * light[i]! * lobe(x, y)) as LabTriple) : v
    const result = read({ panel: paint, light, change: add }).results[0]!
    expect(errorOf(result, paint)).toBeLessThan(result.colour!.bound90)
  })

  it('the shadow of a hand', () => {
    const { results } = read({ panel: paint, light, change: dim })
    expect(errorOf(results[0]!, paint)).toBeLessThan(0.5)
  })

  it('dust, dark and bright', () => {
    const { results } = read({ panel: paint, light, change: dust })
    expect(errorOf(results[0]!, paint)).toBeLessThan(1)
  })

  it('a panel that is nearly all glare is refused, and its card is not blamed', () => {
    const { results, photo } = read({ panel: paint, light, change: flood })
    expect(results[0]).toMatchObject({ colour: null, refused: { code: 'photo/panel-mostly-glare' } })
    expect(codes(photo)).not.toContain('photo/overexposed')
  })
})

describe('numbers at the ends of the file', () => {
  it('counts a channel at 0, widens the bound and suggests a wider gamut', () => {
    const deep: LabTriple = [55, -75, 40]
    expect(linearOf(deep)[0]).toBeLessThan(0)
    const { colour } = read({ panel: deep }).results[0]!
    expect(codes(colour!.cautions)).toContain('photo/channel-at-zero')
    expect(colour!.cautions.find((c) => c.code === 'photo/channel-at-zero')!.remedy).toMatch(/wider gamut/)
    expect(colour!.parts.find((p) => p.cause === 'zero')!.de00).toBeGreaterThan(3)
  })

  it('warns when one channel of the paint is at its limit, and widens the bound', () => {
    const { colour } = read({ panel: [70, 60, 70], light: [1.6, 0.9, 0.9] }).results[0]!
    expect(codes(colour!.cautions)).toContain('photo/overexposed')
    expect(colour!.parts[0]!.cause).toBe('clipping')
  })

  it('refuses a photo whose card is burnt out, and one whose card is black', () => {
    const bright = read({ panel: [50, 0, 0], light: [9, 9, 9], bits: 8 })
    expect(bright.results[0]).toMatchObject({ colour: null, refused: { code: 'photo/overexposed' } })
    const black = read({ panel: [50, 0, 0], light: [0.005, 0.005, 0.005], bits: 8 })
    expect(black.results[0]).toMatchObject({ colour: null, refused: { code: 'photo/too-dark' } })
  })

  it('warns of a photo that is very dark but still readable', () => {
    const { results } = read({ panel: [60, 10, 10], light: [0.08, 0.08, 0.08] })
    expect(codes(results[0]!.colour!.cautions)).toEqual(['photo/too-dark'])
  })
})

const overCard = (factor: (x: number, y: number) => number) => (v: LabTriple, x: number, y: number) =>
  (x >= cardQuad[0][0] ? v.map((c) => c * factor(x, y)) : v) as LabTriple

describe('the card', () => {
  it('half in a shadow is warned about', () => {
    const change = overCard((x) => (x < 185 ? 0.5 : 1))
    expect(codes(read({ panel: [50, 20, 10], change }).photo)).toEqual(['photo/card-half-shadow'])
  })

  it('with light falling off across it is warned about as not even', () => {
    const change = overCard((_, y) => 1 - 0.45 * ((y - 40) / 80))
    const uneven = read({ panel: [50, 20, 10], change })
    expect(codes(uneven.photo)).toEqual(['photo/card-not-even'])
    const even = read({ panel: [50, 20, 10] })
    expect(uneven.results[0]!.colour!.bound90).toBeGreaterThan(even.results[0]!.colour!.bound90)
  })

  it('that is said to be coloured beyond the file’s gamut is refused', () => {
    const layout = layoutOf()
    const card = { ...layout.card!, lab: { l: 50, a: -90, b: 40 } }
    const { results } = readLayout(sceneOf({ panel: [50, 0, 0] }), srgbProfile, { ...layout, card })
    expect(results[0]!.refused!.code).toBe('photo/card-colour')
  })
})

const square = (side: number) => layoutOf({ kind: 'round', centre: [80, 80], radius: side / 2 })

describe('shapes', () => {
  it('a round area on a curved part reads the same with a larger bound', () => {
    const paint: LabTriple = [48, 35, 25]
    const flat = read({ panel: paint }).results[0]!
    const round = read({ panel: paint }, layoutOf({ kind: 'round', centre: [80, 80], radius: 30 })).results[0]!
    expect(errorOf(round, paint)).toBeLessThan(0.05)
    expect(round.colour!.bound90).toBeGreaterThan(flat.colour!.bound90 + 1)
    expect(round.colour!.parts.map((p) => p.cause)).toContain('curved')
  })

  it('a fade has neither colour nor refusal', () => {
    const { results } = read({ panel: [48, 35, 25] }, layoutOf({ kind: 'fade', quad: panelQuad }))
    expect(results).toEqual([{ colour: null, refused: null }])
  })

  it('a tiny area is warned about, a hair’s breadth refused, a crossed outline refused', () => {
    const tiny = read({ panel: [48, 35, 25] }, square(12)).results[0]!
    expect(codes(tiny.colour!.cautions)).toContain('photo/tiny-area')
    expect(read({ panel: [48, 35, 25] }, square(2)).results[0]!.refused!.code).toBe('photo/tiny-area')
    const [a, b, c, d] = panelQuad
    const crossed = read({ panel: [48, 35, 25] }, layoutOf({ kind: 'quad', quad: [a, c, b, d] })).results[0]!
    expect(crossed.refused!.code).toBe('photo/bad-outline')
  })

  it('an area that hangs out of the photo is read from what is in it, one outside is refused', () => {
    const out = layoutOf({ kind: 'round', centre: [-200, 80], radius: 40 })
    expect(read({ panel: [48, 35, 25] }, out).results[0]!.refused!.code).toBe('photo/bad-outline')
  })
})

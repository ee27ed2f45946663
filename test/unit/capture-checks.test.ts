/** What the card, the set-up and the light across an area are held against. */
import { describe, expect, it } from 'vitest'
import {
  cardAgainst,
  cardNeutrality,
  cardOnPaint,
  overexposedByCard,
  setupDrift,
} from '../../shared-core/capture/checks.ts'
import { gridOf } from '../../shared-core/capture/grid.ts'
import { findPaint } from '../../shared-core/capture/paint.ts'
import type { Triple } from '../../shared-core/capture/pixels.ts'
import { surveyOf } from '../../shared-core/capture/surroundings.ts'
import { unevennessOf } from '../../shared-core/capture/unevenness.ts'
import { apply3, invert3 } from '../../shared-core/colour/matrix.ts'
import { displayP3Profile, type RgbProfile, srgbProfile } from '../../shared-core/colour/profile.ts'
import type { Exposure } from '../../shared-core/records/exposure.ts'
import type { SetupFit } from '../../shared-core/records/setup.ts'
import { cardLab, cardQuad, type LabTriple, linearOf, panelQuad, type Scene, sceneOf } from './capture-scene.ts'

const nothingAround = { blocks: [] }
const cieLab = { l: cardLab[0], a: cardLab[1], b: cardLab[2] }

/** XYZ of a black body, Y 1. Source of the approximation: Kim et al., US patent 7,024,034 (2006), as carried by open colour packages. */
function planck(kelvin: number): [number, number, number] {
  const t = 1000 / kelvin
  const x =
    kelvin < 4000
      ? -0.2661239 * t ** 3 - 0.2343589 * t ** 2 + 0.8776956 * t + 0.17991
      : -3.0258469 * t ** 3 + 2.1070379 * t ** 2 + 0.2226347 * t + 0.24039
  const y =
    kelvin < 4000
      ? -0.9549476 * x ** 3 - 1.37418593 * x ** 2 + 2.09137015 * x - 0.16748867
      : 3.081758 * x ** 3 - 5.8733867 * x ** 2 + 3.75112997 * x - 0.37001483
  return [x / y, 1, (1 - x - y) / y]
}

/** Gain of a neutral card under one black body while the camera is balanced for another. */
function gainUnder(kelvin: number, balancedFor: number, profile: RgbProfile): Triple {
  const toRgb = invert3(profile.toXyzD50)
  const [light, white] = [apply3(toRgb, planck(kelvin)), apply3(toRgb, planck(balancedFor))]
  return [0, 1, 2].map((c) => white[c]! / light[c]!) as Triple
}
/** Gain by which a surface of this colour would be taken for a neutral card of the same lightness. */
const gainOn = (lab: LabTriple): Triple => {
  const [seen, card] = [linearOf(lab), linearOf([lab[0], 0, 0])]
  return [0, 1, 2].map((c) => card[c]! / Math.max(seen[c]!, 0.002)) as Triple
}

describe('is the card neutral?', () => {
  it('nothing that lamps and daylight do to a grey card is held against it', () => {
    for (const profile of [srgbProfile, displayP3Profile]) {
      for (const [light, balance] of [
        [2700, 5500],
        [2700, 6500],
        [4000, 5500],
        [10000, 5000],
        [6500, 3000],
        [5000, 5000],
      ] as const) {
        expect(cardNeutrality(gainUnder(light, balance, profile), nothingAround, [])).toBeNull()
      }
    }
    // fluorescent tubes and balance errors, greenish and pinkish
    for (const green of [0.7, 1.4]) expect(cardNeutrality([1, green, 1], nothingAround, [])).toBeNull()
  })

  it('a card marked on strongly coloured paint is noticed', () => {
    // red, green, cyan, magenta and lime of a 24-patch chart or stronger: D. Pascale 2012, avg30
    for (const lab of [
      [42.3, 54.1, 28.7],
      [55.1, -37.8, 31.6],
      [50.7, -28.1, -27.9],
      [51.9, 49.8, -13.8],
      [72.5, -23.3, 57],
    ] as LabTriple[]) {
      expect(cardNeutrality(gainOn(lab), nothingAround, [])?.code).toBe('photo/card-not-neutral')
    }
  })

  it('a tinted card among neutral things is noticed, and one in a tinted light is not', () => {
    const around = (mean: Triple) => ({
      blocks: Array.from({ length: 300 }, () => ({ middle: [0, 0] as [number, number], mean })),
    })
    const gain = gainOn([50, 4, 30])
    expect(cardNeutrality(gain, around([0.4, 0.4, 0.4]), [])?.code).toBe('photo/card-not-neutral')
    expect(cardNeutrality(gain, around([0.4 / gain[0], 0.4 / gain[1], 0.4 / gain[2]]), [])).toBeNull()
    expect(cardNeutrality([1.1, 1, 0.9], around([0.4, 0.4, 0.4]), [])).toBeNull()
  })

  it('a card inside the area that looks just like it is noticed, a card lying on a panel is not', () => {
    const area = { shape: { kind: 'quad' as const, quad: panelQuad }, light: [0.3, 0.2, 0.1] as Triple }
    const inside: typeof cardQuad = [
      [60, 60],
      [90, 60],
      [90, 90],
      [60, 90],
    ]
    expect(cardOnPaint({ quad: inside, light: [0.303, 0.199, 0.1] }, [area])?.code).toBe('photo/card-not-neutral')
    expect(cardOnPaint({ quad: inside, light: [0.18, 0.18, 0.18] }, [area])).toBeNull()
    expect(cardOnPaint({ quad: cardQuad, light: [0.3, 0.2, 0.1] }, [area])).toBeNull()
  })
})

describe('the card against other known things', () => {
  it('agrees when it has the light that they predict, whatever that is', () => {
    const found = cardAgainst([0.1, 0.12, 0.2], [0.102, 0.12, 0.198], cieLab, srgbProfile)
    expect(found).toMatchObject({ check: 'agrees', caution: null })
    expect(found.de00).toBeLessThan(2)
  })

  it('counts in dE00: a card of L* 50 that is entered as 56 is 6 off by CIEDE2000 at most, and disagrees', () => {
    const measured = linearOf([50, 0, 0])
    const predicted = linearOf([56, 0, 0])
    const found = cardAgainst(predicted, measured, { l: 56, a: 0, b: 0 }, srgbProfile)
    expect(found.de00).toBeGreaterThan(5.5)
    expect(found.de00).toBeLessThan(6.1)
    expect(found.check).toBe('disagrees')
    expect(found.caution?.weight).toBe('note')
    const far = cardAgainst(linearOf([62, 0, 0]), measured, { l: 62, a: 0, b: 0 }, srgbProfile)
    expect(far.caution).toMatchObject({ code: 'photo/card-disagrees' })
    expect(far.caution?.weight).toBeUndefined()
  })
})

describe('a photo as bright as that', () => {
  it('is overexposed when white lies a stop above the limit and white places are there', () => {
    expect(overexposedByCard([0.35, 0.33, 0.36], { white: 0.05 })?.code).toBe('photo/overexposed')
    expect(overexposedByCard([0.35, 0.33, 0.36], { white: 0 })).toBeNull()
    expect(overexposedByCard([1, 1.1, 0.9], { white: 0.05 })).toBeNull()
  })
})

describe('a set-up that has drifted', () => {
  const exposure: Exposure = {
    takenAt: null,
    camera: 'Demo Phone 7',
    exposureS: 0.01,
    fNumber: 1.8,
    iso: 100,
    whiteBalance: 'manual',
    focalLengthMm: 5.4,
  }
  const fit: SetupFit = {
    version: 1,
    profile: 'sRGB',
    camera: [],
    covariance: [],
    residual: { median: 1, p90: 2, patches: 24 },
    card: [0.2, 0.18, 0.16],
    exposure,
  }
  const said = (card: Triple | null, change: Partial<Exposure> = {}) =>
    setupDrift(fit, { card, exposure: { ...exposure, ...change } }).map(
      ({ code, weight = 'warning' }) => `${code} ${weight}`,
    )

  it('says nothing of the same light, nor of another exposure with a card to take it out', () => {
    expect(said([0.2, 0.18, 0.16])).toEqual([])
    expect(said([0.4, 0.36, 0.32], { exposureS: 0.02 })).toEqual([])
    expect(said([0.19, 0.18, 0.165], { iso: null })).toEqual([])
    expect(said([0.2, 0.18, 0.16], { camera: null, focalLengthMm: null })).toEqual([])
  })

  it('notices another camera and another lens', () => {
    expect(said([0.2, 0.18, 0.16], { camera: 'Demo Phone 8' })).toEqual(['photo/set-up-other-camera warning'])
    expect(said([0.2, 0.18, 0.16], { focalLengthMm: 9 })).toEqual(['photo/set-up-other-camera warning'])
    expect(said([0.2, 0.18, 0.16], { camera: ' demo  phone 7' })).toEqual([])
  })

  it('notes a balance or light that drifted, and warns of another light', () => {
    expect(said([0.24, 0.18, 0.15])).toEqual(['photo/set-up-drifted note'])
    expect(said([0.05, 0.045, 0.04])).toEqual(['photo/set-up-drifted note'])
    expect(said([0.34, 0.18, 0.1])).toEqual(['photo/set-up-drifted warning'])
    expect(said([0.2, 0.18, 0.16], { whiteBalance: 'auto' })).toEqual(['photo/set-up-drifted note'])
  })

  it('warns of another exposure where there is no card', () => {
    expect(said(null)).toEqual([])
    expect(said(null, { iso: 200 })).toEqual(['photo/set-up-drifted warning'])
    expect(said(null, { whiteBalance: 'auto' })).toEqual(['photo/set-up-drifted note'])
  })
})

describe('brightness across an area', () => {
  const across = (scene: Scene) => {
    const pixels = sceneOf(scene)
    const survey = surveyOf(pixels, srgbProfile)
    const shape = { kind: 'quad' as const, quad: panelQuad }
    const [grid, card] = [
      gridOf(pixels, survey.tables, shape)!,
      gridOf(pixels, survey.tables, { kind: 'quad', quad: cardQuad })!,
    ]
    return unevennessOf({ grid, shape, paint: findPaint(grid, [1, 1, 1])! }, survey, pixels, [panelQuad, cardQuad], {
      grid: card,
      quad: cardQuad,
    })!
  }
  const panel: LabTriple = [45, 40, 20]
  const onPanel = (x: number, y: number) => x >= 20 && x < 140 && y >= 20 && y < 140
  const fading = (x: number) => 1 - x / 600

  it('is light when everything around changes alike', () => {
    const found = across({ panel, change: (v, x) => v.map((c) => c * fading(x)) as LabTriple })
    // from x = 20 to 140: 0.967 to 0.767
    expect(found.change).toBeCloseTo(fading(20) / fading(140) - 1, 1)
    expect(Math.abs(found.towardDeg)).toBeGreaterThan(175)
    expect(found).toMatchObject({ light: 'same', caution: null })
  })

  it('may be the film when nothing else changes with it', () => {
    const found = across({
      panel,
      change: (v, x, y) => (onPanel(x, y) ? (v.map((c) => c * fading(x)) as LabTriple) : v),
    })
    expect(found.lightChange).toBeLessThan(0.02)
    expect(found).toMatchObject({ light: 'other', caution: { code: 'photo/uneven-film-or-light', weight: 'note' } })
  })

  it('is not worth saying where it is small', () => {
    const found = across({
      panel,
      change: (v, x, y) => (onPanel(x, y) ? (v.map((c) => c * (1 - x / 2000)) as LabTriple) : v),
    })
    expect(found.caution).toBeNull()
  })
})

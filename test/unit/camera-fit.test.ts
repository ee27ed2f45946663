/** The camera of a photo, learnt from what is known in it, against another camera that took the photo. */
import Color from 'colorjs.io'
import fc from 'fast-check'
import { CholeskyDecomposition, Matrix } from 'ml-matrix'
import { beforeAll, describe, expect, it } from 'vitest'
import { noExposure } from '../../electron/photos/exposure.ts'
import { chartColours, patchQuad } from '../../shared-core/capture/camera/chart.ts'
import { cameraSteps, fitCamera, type Known, labOf } from '../../shared-core/capture/camera/fit.ts'
import { cameraDeviation } from '../../shared-core/capture/camera/learn.ts'
import { allTerms } from '../../shared-core/capture/camera/model.ts'
import { firstBelief } from '../../shared-core/capture/camera/prior.ts'
import type { Pixels, Triple } from '../../shared-core/capture/pixels.ts'
import { type LayoutReading, readLayout } from '../../shared-core/capture/read-layout.ts'
import { calibrateSetup } from '../../shared-core/capture/setup.ts'
import { surveyOf } from '../../shared-core/capture/surroundings.ts'
import { words } from '../../shared-core/capture/words.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { displayP3Profile, srgbProfile } from '../../shared-core/colour/profile.ts'
import { SetupFit } from '../../shared-core/records/setup.ts'
import {
  black,
  boards,
  card,
  chartQuad,
  contrasty,
  markedOf,
  numbersOf,
  type OtherCamera,
  paints,
  paintThings,
  pictureOf,
  type Thing,
  white,
} from './other-camera.ts'

const patches: Thing[] = chartColours('avg30').map(({ l, a, b }, i) => ({
  quad: patchQuad(chartQuad, i + 1, 1),
  lab: [l, a, b],
}))
const all = [card, white, black, ...patches, ...paintThings]
const take = (camera: OtherCamera): Pixels => pictureOf({ things: all, camera, background: boards })
const de00 = ({ l, a, b }: Lab, paint: readonly [number, number, number]) =>
  new Color('lab', [l, a, b]).deltaE(new Color('lab', [...paint]), '2000')
const errorsOf = ({ results }: LayoutReading) => results.map(({ colour }, i) => de00(colour!.lab, paints[i]!))
const median = (values: number[]) => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!
const levelsOf = ({ results }: LayoutReading) => [...new Set(results.map(({ colour }) => colour?.level))]

/** The same camera, a stop darker and balanced for a warmer light. */
const later: OtherCamera = { ...contrasty, balance: [0.32, 0.36, 0.4] }
function setupBy(pixels: Pixels) {
  const { fit, refused } = calibrateSetup(pixels, srgbProfile, markedOf({ chart: true }), {
    survey: surveyOf(pixels, srgbProfile),
    exposure: noExposure,
  })
  if (!fit) throw new Error(refused.code)
  return fit
}

describe('a contrasty camera with flare, a tint and strong colours', () => {
  let first: Pixels
  let second: Pixels
  let setup: SetupFit
  let byCard: LayoutReading
  let byTiles: LayoutReading
  let byChart: LayoutReading
  let bySetup: LayoutReading
  beforeAll(() => {
    first = take(contrasty)
    second = take(later)
    setup = setupBy(first)
    byCard = readLayout(second, srgbProfile, markedOf())
    byTiles = readLayout(second, srgbProfile, markedOf({ tiles: true }))
    byChart = readLayout(second, srgbProfile, markedOf({ chart: true }))
    bySetup = readLayout(second, srgbProfile, markedOf(), { setup })
  })

  it('is read the better the more is known in the photo', () => {
    expect([byCard, byTiles, byChart, bySetup].map(levelsOf)).toEqual([['card'], ['tiles'], ['chart'], ['set-up']])
    const [plain, tiles, chart, setUp] = [byCard, byTiles, byChart, bySetup].map((r) => median(errorsOf(r))) as [
      number,
      number,
      number,
      number,
    ]
    expect(tiles).toBeLessThan(plain)
    expect(chart).toBeLessThan(tiles)
    expect(setUp).toBeLessThan(tiles)
  })

  it('stays within the stated bounds, which are smaller the more is known', () => {
    const readings = [byCard, byTiles, bySetup, byChart]
    for (const reading of readings) {
      const errors = errorsOf(reading)
      const held = reading.results.filter(({ colour }, i) => errors[i]! <= colour!.bound90).length
      expect(held).toBeGreaterThanOrEqual(errors.length - 1)
    }
    const bounds = readings.map(({ results }) => median(results.map(({ colour }) => colour!.bound90)))
    const [plain, tiles, setUp, chart] = bounds as [number, number, number, number]
    expect(setUp).toBeLessThan(Math.min(plain, tiles))
    expect(chart).toBeLessThan(setUp)
  })

  it('shows a set-up that says what it was learnt from, and can be kept', () => {
    expect(SetupFit.parse(JSON.parse(JSON.stringify(setup)))).toEqual(setup)
    expect(setup).toMatchObject({ profile: 'sRGB', version: 1 })
    // strong blues and reds run out of this file
    expect(setup.residual.patches).toBeGreaterThanOrEqual(18)
    expect(setup.residual.median).toBeLessThan(2)
    // this camera's curve is steeper than that of cameras at large
    expect(setup.camera[0]).toBeGreaterThan(0.3)
  })

  it('is not read by a set-up of files in another profile, and that is told', () => {
    const other = readLayout(second, displayP3Profile, markedOf(), { setup })
    expect(other.photo).toContain(words.otherProfile)
    expect(levelsOf(other)).toEqual(['card'])
    expect(other.results).toEqual(
      readLayout(second, displayP3Profile, markedOf()).results.map((result) => ({
        ...result,
        colour: { ...result.colour, cautions: expect.arrayContaining([words.otherProfile]) as unknown },
      })),
    )
    expect(bySetup.photo).not.toContain(words.otherProfile)
  })
})

const decode = (e: number) => (e <= 0.04045 ? e / 12.92 : ((e + 0.055) / 1.055) ** 2.4)
const seenBy = (camera: OtherCamera, things: readonly Thing[]): Known[] =>
  things.map(({ lab: [l, a, b] }, i) => ({
    light: numbersOf([l, a, b], camera).map(decode) as Triple,
    lab: { l, a, b },
    deviation: i === 0 ? [1 / 2, 1 / 2, 1 / 2] : [1, 1, 1],
    place: [10 * i, 0],
  }))

function expectSound(covariance: Matrix) {
  expect([covariance.rows, covariance.columns]).toEqual([allTerms, allTerms])
  const scale = (i: number, j: number) => Math.sqrt(covariance.get(i, i) * covariance.get(j, j))
  for (let i = 0; i < allTerms; i++) {
    expect(covariance.get(i, i)).toBeGreaterThan(0)
    for (let j = 0; j < i; j++) {
      expect(Math.abs(covariance.get(i, j) - covariance.get(j, i)) / scale(i, j)).toBeLessThan(1e-6)
    }
  }
  // scaled to 1 on its diagonal and made symmetric to the last digit
  const correlation = Matrix.zeros(allTerms, allTerms)
  for (let i = 0; i < allTerms; i++) {
    for (let j = 0; j < allTerms; j++) {
      correlation.set(i, j, (covariance.get(i, j) + covariance.get(j, i)) / (2 * scale(i, j)))
    }
  }
  expect(new CholeskyDecomposition(correlation).isPositiveDefinite()).toBe(true)
}

describe('fitting a camera', () => {
  const belief = firstBelief('unknown')

  it('throws where nothing is known', () => {
    expect(() => fitCamera([], belief, srgbProfile)).toThrow(RangeError)
  })

  it('gives a covariance that is one, and smaller the more is known', () => {
    const known = seenBy(contrasty, [card, white, black, ...patches])
    const [one, three, every] = [1, 3, known.length].map(
      (count) => fitCamera(known.slice(0, count), belief, srgbProfile).covariance,
    ) as [Matrix, Matrix, Matrix]
    for (const covariance of [one, three, every]) expectSound(covariance)
    // the tone curve's contrast, and a colour term
    for (const i of [0, 5]) expect(every.get(i, i)).toBeLessThan(one.get(i, i))
    expect(three.get(0, 0)).toBeLessThan(one.get(0, 0))
    // never more than was believed before
    for (let i = 0; i < 18; i++) expect(one.get(i, i)).toBeLessThanOrEqual(belief.covariance[19 * i]! * (1 + 1e-6))
  })

  it('finds the chart’s own colours again, and looks past a dirty patch', () => {
    const known = seenBy(contrasty, [card, ...patches])
    const clean = fitCamera(known, belief, srgbProfile)
    const errors = (camera: typeof clean.camera) =>
      known.map(({ light, lab: { l, a, b } }) => de00(labOf(light, camera, srgbProfile), [l, a, b]))
    expect(median(errors(clean.camera))).toBeLessThan(1.2)
    const dirty = known.map((k, i): Known => (i === 9 ? { ...k, light: [0.02, 0.02, 0.02] } : k))
    const found = fitCamera(dirty, belief, srgbProfile)
    expect(median(errors(found.camera))).toBeLessThan(1.6)
    expect(found.left.indexOf(Math.max(...found.left))).toBe(9)
  })

  it('makes numbers of whatever it is shown', () => {
    const channel = fc.oneof(fc.double({ min: 0, max: 1, noNaN: true }), fc.constantFrom(0, 1e-6, 1, 0.999999, 1e-9))
    const light = fc.tuple(channel, channel, channel)
    const lab = fc.record({
      l: fc.double({ min: 1, max: 100, noNaN: true }),
      a: fc.double({ min: -60, max: 60, noNaN: true }),
      b: fc.double({ min: -60, max: 60, noNaN: true }),
    })
    const neutral = fc.record({
      l: fc.double({ min: 5, max: 100, noNaN: true }),
      a: fc.double({ min: -2, max: 2, noNaN: true }),
      b: fc.double({ min: -2, max: 2, noNaN: true }),
    })
    // typed wrongly: no surface has it, as it lacks more light than there is
    const impossible = fc.constant({ l: 1, a: 101, b: 51 })
    const place = (of: fc.Arbitrary<Lab>) =>
      fc.record({
        light,
        lab: of,
        deviation: fc.constantFrom<[number, number, number]>([1, 1, 1], [1 / 2, 1 / 2, 1 / 2]),
        place: fc.constant<[number, number]>([1, 1]),
      })
    const known = fc
      .tuple(
        place(fc.oneof({ weight: 9, arbitrary: neutral }, { weight: 1, arbitrary: impossible })),
        fc.array(place(lab), { maxLength: 12 }),
      )
      .map(([one, more]) => [one, ...more])
    fc.assert(
      fc.property(
        known,
        fc.option(light, { nil: null }),
        fc.constantFrom('unknown' as const, 'none' as const),
        fc.constantFrom(srgbProfile, displayP3Profile),
        light,
        (places, brightest, tone, profile, paint) => {
          const { camera, covariance, left } = fitCamera(places, firstBelief(tone), profile, brightest)
          const numbers = [camera.contrast, camera.power, camera.flare, ...camera.cross, ...camera.root, ...camera.gain]
          expect([...numbers, ...left, ...covariance.to1DArray()].every(Number.isFinite)).toBe(true)
          const seen = labOf(paint, camera, profile)
          expect([seen.l, seen.a, seen.b].every(Number.isFinite)).toBe(true)
          const deviation = cameraDeviation(cameraSteps(paint, camera, profile), covariance)
          expect(deviation >= 0 && Number.isFinite(deviation)).toBe(true)
        },
      ),
      { numRuns: 150 },
    )
  }, 60_000)

  it('states finite bounds for any camera, however dark, bright or one-sided', () => {
    const gain = fc.double({ min: 0.02, max: 3, noNaN: true })
    fc.assert(
      fc.property(
        fc.record({
          steep: fc.double({ min: 0, max: 6, noNaN: true }),
          flare: fc.double({ min: 0, max: 0.05, noNaN: true }),
          balance: fc.tuple(gain, gain, fc.oneof(gain, fc.constant(0))),
          vivid: fc.double({ min: -0.3, max: 0.5, noNaN: true }),
        }),
        fc.record({ tiles: fc.boolean(), chart: fc.boolean(), card: fc.boolean() }),
        (camera, marked) => {
          const small = pictureOf({ things: all, camera, background: boards })
          const { results } = readLayout(small, srgbProfile, markedOf(marked))
          expect(results.every(({ colour, refused }) => colour !== null || refused !== null)).toBe(true)
          for (const { lab, bound90, parts } of results.flatMap(({ colour }) => colour ?? [])) {
            expect([lab.l, lab.a, lab.b, bound90, ...parts.map((p) => p.de00)].every(Number.isFinite)).toBe(true)
            expect(bound90).toBeGreaterThan(0)
          }
        },
      ),
      { numRuns: 12 },
    )
  }, 60_000)
})

/**
 * Repeated readings as one colour. Held against: the best estimate of two correlated figures in closed form (Lyons, Gibaut,
 * Clifford, Nucl. Instrum. Methods A 270 (1988) 110–117, eqs 4 and 5), the standard deviation of a mean (JCGM 100:2008, 4.2.3),
 * quantiles of χ with three degrees of freedom (0.9: 2.5003, usual tables) and drawn errors.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { combineReadings, likeReadings, misfit } from '../../shared-core/capture/combine.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'

type One = Parameters<typeof combineReadings>[0][number]

let serial = 0
/** A reading whose errors are all its own. */
const alone = (lab: Lab, bound90: number): One => ({
  id: `r${serial++}`,
  lab,
  bound90,
  photoId: null,
  setupId: null,
  parts: [],
})
const shared = (lab: Lab, own: number, photo: number, setup: number, photoId: string, setupId: string): One => ({
  ...alone(lab, Math.hypot(own, photo, setup)),
  photoId,
  setupId,
  sharedPhoto: photo,
  sharedSetup: setup,
})
const grey: Lab = { l: 50, a: 0, b: 0 }
const lab = fc.record({
  l: fc.double({ min: 5, max: 95, noNaN: true }),
  a: fc.double({ min: -60, max: 60, noNaN: true }),
  b: fc.double({ min: -60, max: 60, noNaN: true }),
})
const size = fc.double({ min: 0.2, max: 6, noNaN: true })
const any = fc
  .record({
    lab,
    own: size,
    photo: size,
    setup: size,
    photoId: fc.constantFrom('p1', 'p2', 'p3'),
    setupId: fc.constantFrom('s1', 's2'),
    id: fc.uuid(),
  })
  .map(({ id, ...r }) => ({ ...shared(r.lab, r.own, r.photo, r.setup, r.photoId, r.setupId), id }))
const several = fc.uniqueArray(any, { minLength: 1, maxLength: 8, selector: (r) => r.id })

describe('readings alike', () => {
  it('one gives itself', () => {
    fc.assert(
      fc.property(any, (reading) => {
        const found = combineReadings([reading])
        expect(found).toMatchObject({
          lab: reading.lab,
          bound90: reading.bound90,
          outliers: [],
          disagreement: null,
        })
        expect(Math.hypot(found.own, found.shared)).toBeCloseTo(reading.bound90, 9)
      }),
    )
    expect(() => combineReadings([])).toThrow(RangeError)
  })

  it('come out the same in any order', () => {
    fc.assert(
      fc.property(several, fc.infiniteStream(fc.nat()), (readings, shuffle) => {
        const mixed = readings.map((r) => [shuffle.next().value as number, r] as const).toSorted((a, b) => a[0] - b[0])
        expect(combineReadings(mixed.map(([, r]) => r))).toEqual(combineReadings(readings))
      }),
    )
  })

  it('lie between their extremes, each is used or said to be an outlier, most are used', () => {
    fc.assert(
      fc.property(several, (readings) => {
        const found = combineReadings(readings)
        const used = found.used.map(({ reading }) => reading)
        expect(used.length + found.outliers.length).toBe(readings.length)
        expect(used.length * 2).toBeGreaterThan(readings.length)
        expect(found.used.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9)
        expect(found.used.every(({ weight }) => weight >= 0)).toBe(true)
        for (const axis of ['l', 'a', 'b'] as const) {
          const values = used.map((r) => r.lab[axis])
          expect(found.lab[axis]).toBeGreaterThanOrEqual(Math.min(...values) - 1e-6)
          expect(found.lab[axis]).toBeLessThanOrEqual(Math.max(...values) + 1e-6)
        }
        expect(Math.hypot(found.own, found.shared)).toBeCloseTo(found.bound90, 6)
      }),
    )
  })

  it('n equal and independent shrink by √n; errors of one photo or one set-up do not', () => {
    fc.assert(
      fc.property(lab, size, size, fc.integer({ min: 1, max: 9 }), (at, own, common, n) => {
        const many = Array.from({ length: n })
        expect(combineReadings(many.map(() => alone(at, own))).bound90).toBeCloseTo(own / Math.sqrt(n), 5)
        const rest = Math.hypot(common, own / Math.sqrt(n))
        const onePhoto = combineReadings(many.map(() => shared(at, own, common, 0, 'p', 's')))
        expect(onePhoto.bound90).toBeCloseTo(rest, 5)
        expect(onePhoto.shared).toBeCloseTo(common, 5)
        const oneSetup = combineReadings(many.map((_, i) => shared(at, own, 0, common, `p${i}`, 's')))
        expect(oneSetup.bound90).toBeCloseTo(rest, 5)
        const strangers = combineReadings(many.map((_, i) => shared(at, own, common, 0, `p${i}`, `s${i}`)))
        expect(strangers.bound90).toBeCloseTo(Math.hypot(common, own) / Math.sqrt(n), 5)
      }),
    )
  })

  it('photos that name no set-up are taken to be by one camera: they hardly shrink', () => {
    const photos = [1, 2, 3, 4].map((i) => ({ ...shared(grey, 0.1, 4, 0, `p${i}`, ''), setupId: null }))
    expect(combineReadings(photos).bound90).toBeGreaterThan(3.6)
  })

  it('two with a common error are weighted as the closed form says', () => {
    // sizes squared 5 and 10 with 4 in common: w = (10 − 4) / (5 + 10 − 8), variance (5 · 10 − 16) / 7
    const found = combineReadings([
      shared(grey, 1, 2, 0, 'p', 's'),
      shared({ ...grey, l: 51 }, Math.sqrt(6), 2, 0, 'p', 's'),
    ])
    expect(found.lab.l).toBeCloseTo(50 + 1 / 7, 6)
    expect(found.bound90).toBeCloseTo(Math.sqrt(34 / 7), 6)
  })

  it('that scatter more than they say get the bound that their scatter gives', () => {
    const found = combineReadings([48.3, 49, 51, 51.7].map((l) => alone({ ...grey, l }, 1.4)))
    const s = Math.sqrt((1.7 ** 2 + 1 + 1 + 1.7 ** 2) / 3)
    expect(s).toBeGreaterThan(1.4)
    expect(found.outliers).toHaveLength(0)
    expect(Math.abs(found.bound90 - s / 2) / (s / 2)).toBeLessThan(0.02)
  })
})

describe('outliers', () => {
  it('one of three or more is named, with how far off it is and how far it should be', () => {
    const bad = alone({ l: 62, a: 0, b: 0 }, 2)
    const good = [49.5, 50, 50.5].map((l) => alone({ ...grey, l }, 2))
    for (const fit of [good.slice(0, 2), good]) {
      const { outliers, used, lab: mean, disagreement } = combineReadings([bad, ...fit])
      expect(outliers).toHaveLength(1)
      expect(outliers[0]?.reading).toBe(bad)
      expect(outliers[0]?.de00).toBeCloseTo(differenceCiede2000(bad.lab, mean), 9)
      // 2 of its own and 2 / √n of the mean
      expect(outliers[0]?.expected90).toBeCloseTo(Math.hypot(2, 2 / Math.sqrt(fit.length)), 5)
      expect(used).toHaveLength(fit.length)
      expect(disagreement).toBeNull()
    }
  })

  it('two far ones among five do not hide each other', () => {
    const found = combineReadings([50, 50.4, 49.7, 64, 65].map((l) => alone({ ...grey, l }, 1.5)))
    expect(found.outliers.map(({ reading }) => reading.lab.l)).toEqual([65, 64])
  })

  it('of two that disagree none is named: both are said to, and the bound reaches half-way to each', () => {
    const [a, b] = [alone(grey, 1), alone({ ...grey, l: 58 }, 1)]
    const found = combineReadings([a, b])
    const whole = differenceCiede2000(a.lab, b.lab)
    expect(found).toMatchObject({ outliers: [], disagreement: { de00: whole } })
    expect(found.disagreement?.expected90).toBeCloseTo(Math.SQRT2, 9)
    expect(found.used).toHaveLength(2)
    const half = whole / 2
    expect(Math.abs(found.bound90 - half)).toBeLessThan(0.02 * half)
    // four in two camps
    const camps = combineReadings([50, 50, 60, 60].map((l) => alone({ ...grey, l }, 1)))
    expect(camps.outliers).toEqual([])
    expect(camps.disagreement).not.toBeNull()
  })

  it('a wide bound is no outlier where a narrow one is', () => {
    const at = (bound90: number) =>
      combineReadings([...[49, 50, 51].map((l) => alone({ ...grey, l }, 1.5)), alone({ ...grey, l: 58 }, bound90)])
    expect(at(1.5).outliers).toHaveLength(1)
    expect(at(9).outliers).toHaveLength(0)
  })
})

describe('drawn errors', () => {
  // Park and Miller, Commun. ACM 31 (1988) 1192–1201; Box and Muller, Ann. Math. Stat. 29 (1958) 610–611
  let state = 20_270
  const uniform = () => (state = (state * 16_807) % 2_147_483_647) / 2_147_483_647
  const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform())
  /** An error whose 90 % radius is `bound90`, alike in all directions. */
  const error = (bound90: number) => [normal(), normal(), normal()].map((v) => (v * bound90) / 2.5003)
  // near grey CIEDE2000 stretches a* by 1.5 (eqs 2–5 of Sharma, Wu, Dalal 2005)
  const off = (errors: number[][]): Lab => {
    const [l, a, b] = [0, 1, 2].map((axis) => errors.reduce((sum, e) => sum + e[axis]!, 0))
    return { l: 50 + l!, a: a! / 1.5, b: b! }
  }

  it('the stated 90 % holds for means of readings that share photo and set-up', () => {
    const rounds = 3000
    let [held, alarms] = [0, 0]
    for (let i = 0; i < rounds; i++) {
      const setup = error(0.8)
      const readings = ['p1', 'p1', 'p2', 'p3'].map((photoId, at) => ({ photoId, own: 0.6 + 0.3 * at }))
      const photos = new Map(['p1', 'p2', 'p3'].map((id) => [id, error(0.7)]))
      const found = combineReadings(
        readings.map(({ photoId, own }) =>
          shared(off([setup, photos.get(photoId)!, error(own)]), own, 0.7, 0.8, photoId, 's'),
        ),
      )
      if (differenceCiede2000(found.lab, grey) <= found.bound90) held++
      if (found.outliers.length > 0 || found.disagreement) alarms++
    }
    expect(held / rounds).toBeGreaterThan(0.88)
    expect(held / rounds).toBeLessThan(0.94)
    // 0.0025 a pair at `misfit` times a 90 % radius, and at most six pairs
    expect(misfit * 2.5003).toBeCloseTo(3.75, 2)
    expect(alarms / rounds).toBeLessThan(0.02)
  })
})

describe('which are alike', () => {
  const of = (change: Partial<Parameters<typeof likeReadings>[0][number]>) => ({
    view: 'face' as const,
    stage: 'cleared' as const,
    lightId: 'booth' as string | null,
    illuminant: 'D50' as const,
    observer: '2' as const,
    geometry: 'photo' as const,
    level: 'card' as const,
    ...change,
  })
  const count = (...readings: ReturnType<typeof of>[]) => likeReadings(readings).map((group) => group.length)

  it('same view, stage, light and standard; sphere and prediction stand apart', () => {
    expect(count(of({}), of({ level: 'chart' }), of({ geometry: '45:0', level: 'instrument' }))).toEqual([3])
    expect(count(of({}), of({ view: 'flop' }), of({ stage: 'dry' }), of({ observer: '10' }))).toEqual([1, 1, 1, 1])
    expect(count(of({}), of({ geometry: 'd:8-included' }), of({ level: 'predicted' }))).toEqual([1, 1, 1])
  })

  it('a light that nobody named goes with the only one that is named', () => {
    expect(count(of({ lightId: null }), of({}), of({}))).toEqual([3])
    expect(count(of({}), of({ lightId: null }), of({ lightId: 'sun' }), of({ lightId: 'sun' }))).toEqual([1, 1, 2])
    expect(count(of({ lightId: 'sun' }), of({}), of({}), of({ lightId: null }))).toEqual([1, 2, 1])
    expect(count(of({ lightId: null }), of({ lightId: null }))).toEqual([2])
  })
})

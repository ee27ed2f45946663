/**
 * The forward film model against what it must do whatever its numbers are.
 * Diffuse internal return of a film of index 1.5: 0.596 (Saunderson, J. Opt. Soc. Am. 32 (1942) 727–736).
 * Stacked layers: Kubelka, J. Opt. Soc. Am. 38 (1948) 448–457.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { dyes, grounds } from '../../electron/service/demonstration/palette.ts'
import { spectrumToLab } from '../../shared-core/colour/spectrum.ts'
import {
  diffuseThroughFilm,
  dyeLoad,
  filmAbsorbance,
  throughFilm,
  trappedShare,
  underMidCoat,
} from '../../shared-core/film/forward.ts'

const someDye = fc.constantFrom(...Object.values(dyes))
const someGround = fc.constantFrom(...Object.values(grounds))
const flat = (value: number) => Array<number>(31).fill(value)

describe('throughFilm', () => {
  it('shows the ground itself through no dye', () => {
    fc.assert(
      fc.property(someGround, (ground) => {
        throughFilm(ground, flat(0)).forEach((r, i) => expect(r).toBeCloseTo(ground.reflectance[i] ?? -1, 12))
      }),
    )
  })

  it('is Beer and Lambert where the ground traps nothing', () => {
    const seen = throughFilm({ reflectance: flat(0.6), trapped: 0 }, flat(1.2))
    for (const r of seen) expect(r).toBeCloseTo(0.6 * Math.exp(-1.2), 12)
  })

  it('never gets lighter with more coats', () => {
    fc.assert(
      fc.property(someDye, someGround, fc.double({ min: 0, max: 8, noNaN: true }), (absorbance, ground, load) => {
        const less = spectrumToLab(throughFilm(ground, filmAbsorbance([{ absorbance, load }])))
        const more = spectrumToLab(throughFilm(ground, filmAbsorbance([{ absorbance, load: load + 0.5 }])))
        expect(more.l).toBeLessThan(less.l)
      }),
    )
  })

  it('does not mind the order in which candies are stacked', () => {
    fc.assert(
      fc.property(someDye, someDye, (a, b) => {
        const one = filmAbsorbance([
          { absorbance: a, load: 2 },
          { absorbance: b, load: 1 },
        ])
        const other = filmAbsorbance([
          { absorbance: b, load: 1 },
          { absorbance: a, load: 2 },
        ])
        one.forEach((value, i) => expect(value).toBeCloseTo(other[i] ?? -1, 12))
      }),
    )
  })

  it('darkens more over a ground that traps light than over one that does not', () => {
    const trapping = throughFilm({ reflectance: flat(0.8), trapped: trappedShare(3) }, flat(0.7))
    const mirror = throughFilm({ reflectance: flat(0.8), trapped: trappedShare(-1.2) }, flat(0.7))
    expect(trapping[0]).toBeLessThan(mirror[0] ?? 0)
  })
})

it('traps between nothing and 0.596, and sends all of it back where there is no film', () => {
  expect(trappedShare(-20)).toBeCloseTo(0, 6)
  expect(trappedShare(20)).toBeCloseTo(0.596, 6)
  expect(diffuseThroughFilm(0)).toBeCloseTo(1, 12)
})

it('counts one full cover at 6 carrier : 1 blend as load 1', () => {
  expect(dyeLoad(1, 1 / 7)).toBeCloseTo(1, 12)
  expect(dyeLoad(4, (4 / 5) * (1 / 7))).toBeCloseTo(3.2, 12)
})

describe('underMidCoat', () => {
  it('changes nothing with no coats, and hides what lies beneath with very many', () => {
    const beneath = flat(0.2)
    expect(underMidCoat(beneath, flat(0.6), 0, 0.06)).toEqual(beneath)
    expect(underMidCoat(beneath, flat(0.6), 400, 0.06)[0]).toBeCloseTo(0.6, 6)
  })

  it('stacks two layers as Kubelka has it', () => {
    const twice = underMidCoat(underMidCoat(flat(0), flat(1), 1, 0.1), flat(1), 1, 0.1)
    // R = R1 + T1² R2 / (1 − R1 R2) with R1 = R2 = 0.1 and T1 = 0.9.
    expect(twice[0]).toBeCloseTo(0.1 + (0.81 * 0.1) / (1 - 0.01), 12)
  })
})

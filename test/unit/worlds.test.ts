/** The simulated shops that the film model is tried on: light and readings in them must be right before they can judge. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { filmOf, flakes, lambertian, zoneCount } from '../worlds/angles.ts'
import { groundNames } from '../worlds/grounds.ts'
import { reflectanceOf, veiled } from '../worlds/optics.ts'
import { rackOf } from '../worlds/rack.ts'
import { misread, photoErrors } from '../worlds/readings.ts'
import { bareOf } from '../worlds/recipes.ts'
import { sampling } from '../worlds/spectra.ts'
import { labOf, worldOf } from '../worlds/world.ts'

const flat = (value: number) => Array<number>(sampling.count).fill(value)
const share = fc.double({ min: 0.02, max: 0.95, noNaN: true })
const absorbance = fc.double({ min: 0, max: 2, noNaN: true })

describe('light followed by angle', () => {
  it('turns back 0.596 of diffuse light within a film of index 1.5 (Saunderson 1942; the figure from memory)', () => {
    const { share: shares, back } = filmOf(1.5)
    expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12)
    expect(shares.reduce((sum, s, z) => sum + s * back[z]!, 0)).toBeCloseTo(0.596, 3)
  })

  it('is Beer and Lambert in a film of index 1, where nothing turns back', () => {
    const film = filmOf(1.0000001)
    for (const spread of [lambertian(film), flakes(film, 0.3)])
      fc.assert(
        fc.property(share, absorbance, (r, a) => {
          const seen = reflectanceOf(film, [{ reflectance: flat(r), spread }], flat(a), null)[0]!
          // in at 45°: √2 of the thickness, straight out: 1
          expect(seen / (r * spread.first)).toBeCloseTo(Math.exp(-a * (1 + Math.SQRT2)), 4)
        }),
      )
  })

  it('adds all returns of a clear film over a white as Saunderson’s formula does', () => {
    const film = filmOf(1.5)
    fc.assert(
      fc.property(share, (r) => {
        const seen = reflectanceOf(film, [{ reflectance: flat(r), spread: lambertian(film) }], flat(0), null)[0]!
        expect(seen).toBeCloseTo((0.4052 * r) / (1 - 0.5963 * r), 3)
      }),
    )
  })

  it('loses no light on flakes, and traps less of it than on a white', () => {
    const film = filmOf(1.5)
    const trapped = (from: readonly number[]) => from.reduce((sum, f, z) => sum + f * film.back[z]!, 0)
    for (const tilt of [0.2, 0.26, 0.32]) {
      const spread = flakes(film, tilt)
      expect(spread.from.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 10)
      for (let i = 0; i < zoneCount; i++) {
        let sum = 0
        for (let o = 0; o < zoneCount; o++) sum += spread.again![o * zoneCount + i]!
        expect(sum).toBeCloseTo(1, 10)
      }
      expect(trapped(spread.from)).toBeLessThan(0.8 * trapped(lambertian(film).from))
    }
  })

  it('sees a mid coat over a black film by its own light, and beneath one by what the film lets through', () => {
    const film = filmOf(1.5)
    const ground = [{ reflectance: flat(0.8), spread: lambertian(film) }]
    const veil = { own: flat(0.1), spread: flakes(film, 0.25) }
    const black = flat(6)
    const over = reflectanceOf(film, ground, black, veil)[0]!
    expect(over).toBeCloseTo(film.pass * 0.1 * veil.spread.first, 4)
    expect(reflectanceOf(film, veiled(ground, veil), black, null)[0]!).toBeLessThan(1e-3)
  })
})

describe('a reading’s error', () => {
  it.each([
    [50, 0, 0],
    [60, 45, 25],
    [35, 20, -45],
    [90, -6, 70],
    [12, 3, 1],
  ])('is as long as stated, on average, near %d %d %d', (l, a, b) => {
    const random = randomFrom('error')
    const lab = { l, a, b }
    let sum = 0
    for (let i = 0; i < 3000; i++) sum += differenceCiede2000(lab, misread(random, lab, 1)) / 3000
    expect(Math.abs(sum - 1)).toBeLessThan(0.05)
  })

  it('that a photo’s panels share is as long as stated, on average, and the same for all of them', () => {
    const labs = [
      { l: 80, a: 0, b: 0 },
      { l: 40, a: 50, b: 30 },
      { l: 25, a: 10, b: -40 },
    ]
    const next = photoErrors(randomFrom('photos'), labs, 0.6)
    let sum = 0
    for (let i = 0; i < 400; i++) {
      const error = next()
      for (const lab of labs) sum += differenceCiede2000(lab, error(lab)) / (400 * labs.length)
      expect(error(labs[0]!)).toEqual(error(labs[0]!))
    }
    expect(Math.abs(sum - 0.6)).toBeLessThan(0.12)
  })
})

describe('a simulated rack', () => {
  const wish = { candies: 5, grounds: 4, midCoats: 1, under: true, over: true, noise: 1, scatterPerCoat: 0.1 }

  it('is the same for the same seed, and another for another', () => {
    const read = (seed: string) => rackOf(seed, wish).library.observations.map(({ lab }) => lab)
    expect(read('one')).toEqual(read('one'))
    expect(read('one')).not.toEqual(read('two'))
  })

  it('has readings that lie about what the formula gives, wider by film build and noise', () => {
    const { world, library } = rackOf('one', wish)
    const errors = library.observations.map((one) => differenceCiede2000(one.lab, labOf(world, one)))
    const mean = errors.reduce((a, b) => a + b, 0) / errors.length
    expect(mean).toBeGreaterThan(0.9)
    expect(mean).toBeLessThan(2.5)
  })

  it('asks nothing that was sprayed on its rarely used ground but with another candy', () => {
    const { library, questions } = rackOf('one', wish)
    const asked = questions.filter(({ category }) => category === 'ground')
    expect(asked.length).toBeGreaterThan(0)
    for (const { recipe } of asked) {
      const there = library.observations.filter(({ ground, dyes }) => ground === recipe.ground && dyes.length > 0)
      expect(there.length).toBeGreaterThan(0)
      for (const { id } of recipe.dyes) expect(there.flatMap(({ dyes }) => dyes.map((dye) => dye.id))).not.toContain(id)
    }
  })

  it('looks raw lighter than under clear where it is dark, and not brighter where it is white', () => {
    const world = worldOf('every ground', { candies: 1, grounds: groundNames.length })
    const lightness = (name: string, finish: 'cleared' | 'uncleared') => {
      const [id] = [...world.grounds].find(([, ground]) => ground.name === name)!
      return labOf(world, bareOf(id, finish)).l
    }
    expect(lightness('black solid', 'uncleared')).toBeGreaterThan(lightness('black solid', 'cleared') + 2)
    expect(lightness('white solid', 'uncleared')).toBeLessThan(lightness('white solid', 'cleared'))
  })
})

import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { fitFilm } from '../../shared-core/film/fit.ts'
import type { FilmObservation, FilmRecipe } from '../../shared-core/film/recipe.ts'
import { type FilmSuspect, listSuspects } from '../../shared-core/film/suspects.ts'
import { type RackWish, rackOf } from '../worlds/rack.ts'
import { misread } from '../worlds/readings.ts'
import { labOf } from '../worlds/world.ts'
import { usual, usualFit, usualRack, withObservations } from './film-racks.ts'

const sized = { ...usual, candies: 5, grounds: 4 }
const thicker = (recipe: FilmRecipe, by: number): FilmRecipe => ({
  ...recipe,
  dyes: recipe.dyes.map(({ id, load }) => ({ id, load: by * load })),
})

type Mistake = FilmSuspect['reason']
const mistakes: Mistake[] = ['thin', 'thick', 'other-ground', 'other-candy', 'misread']

/** One panel of a rack went wrong in a known way. */
function withMistake(seed: string, mistake: Mistake, wish: RackWish) {
  const rack = rackOf(seed, wish)
  const { world, library } = rack
  const random = randomFrom(`${seed}/${mistake}`)
  const panel = random.pick(library.observations.filter(({ dyes }) => dyes.length > 0)).panel
  const other = (ids: Iterable<string>, than: readonly string[]) =>
    random.pick([...ids].filter((id) => !than.includes(id)))
  const mine = library.observations.filter((one) => one.panel === panel)
  const dyes = mine.at(-1)!.dyes.map(({ id }) => id)
  const ground = other(world.grounds.keys(), [mine[0]!.ground])
  const candy = other(world.candies.keys(), dyes)
  const really = (recipe: FilmRecipe): FilmRecipe => {
    if (mistake === 'thin') return thicker(recipe, 0.5)
    if (mistake === 'thick') return thicker(recipe, 2)
    if (mistake === 'other-ground') return { ...recipe, ground }
    if (mistake !== 'other-candy') return recipe
    return { ...recipe, dyes: recipe.dyes.map(({ id, load }) => ({ id: id === dyes[0] ? candy : id, load })) }
  }
  const read = (one: FilmObservation): FilmObservation => {
    const lab = labOf(world, really(one))
    return { ...one, lab: misread(random, mistake === 'misread' ? misread(random, lab, 9) : lab, wish.noise) }
  }
  const observations = library.observations.map((one) => (one.panel === panel ? read(one) : one))
  const fit = fitFilm(withObservations(library, observations))
  // a mistake that no eye would see on this panel is none to be found
  const isSeen = observations.some(
    (one) => one.panel === panel && differenceCiede2000(one.lab, labOf(world, one)) > 6 * wish.noise,
  )
  return { panel, ground, candy, fit, isSeen, suspects: listSuspects(fit) }
}

describe('suspects', () => {
  it('are hardly any on sound racks', () => {
    let readings = 0
    let alarms = 0
    const wishes: Partial<RackWish>[] = [
      {},
      { steps: true },
      { rough: true, noise: 0.9, photoNoise: 0.45 },
      { noise: 2.6 },
      { guns: true },
      { bothFinishes: true },
    ]
    for (const [k, wish] of wishes.entries())
      for (const seed of ['a', 'b', 'c', 'd']) {
        const { library } = rackOf(`film-suspects/sound/${k}/${seed}`, { ...sized, ...wish })
        readings += library.observations.length
        alarms += listSuspects(fitFilm(library)).length
      }
    expect(readings).toBeGreaterThan(1500)
    expect(alarms).toBeLessThanOrEqual(0.004 * readings)
  })

  it.each([
    ['single panels', sized, ['a', 'b', 'c', 'd', 'e']],
    ['steps', { ...sized, steps: true }, ['a', 'b', 'c']],
  ])('are found, with the reason, and few others with them: %s', (name, wish: RackWish, seeds) => {
    let seen = 0
    let found = 0
    let told = 0
    let named = 0
    let nameable = 0
    let others = 0
    for (const mistake of mistakes)
      for (const seed of seeds) {
        const { panel, ground, candy, isSeen, suspects } = withMistake(`film-suspects/${name}/${seed}`, mistake, wish)
        others += suspects.filter((one) => one.panel !== panel).length
        if (!isSeen) continue
        seen++
        const [first] = suspects.filter((one) => one.panel === panel)
        if (first) found++
        if (first?.reason !== mistake) continue
        told++
        if (mistake !== 'other-ground' && mistake !== 'other-candy') continue
        nameable++
        if (first.looksLike === (mistake === 'other-ground' ? ground : candy)) named++
      }
    expect(seen).toBeGreaterThan(10)
    expect(found).toBeGreaterThanOrEqual(0.9 * seen)
    expect(told).toBeGreaterThanOrEqual(0.8 * found)
    expect(named).toBeGreaterThanOrEqual(0.8 * nameable)
    expect(others).toBeLessThanOrEqual(5)
  })

  it('of one panel carry one reason', () => {
    let whole = 0
    for (const seed of ['a', 'b', 'c', 'd', 'e']) {
      const { panel, suspects } = withMistake(`film-suspects/whole/${seed}`, 'other-candy', { ...sized, steps: true })
      const mine = suspects.filter((one) => one.panel === panel)
      if (mine.length < 2) continue
      whole++
      expect(new Set(mine.map(({ reason, looksLike }) => `${reason} ${looksLike}`)).size).toBe(1)
      expect(mine.every(({ wholePanel }) => wholePanel)).toBe(true)
    }
    expect(whole).toBeGreaterThan(2)
  })

  it('say how thin the film looks', () => {
    for (const seed of ['a', 'b', 'c']) {
      const { panel, suspects } = withMistake(`film-suspects/thin/${seed}`, 'thin', { ...sized, steps: true })
      for (const one of suspects.filter((each) => each.panel === panel && each.reason === 'thin')) {
        expect(one.build).toBeGreaterThan(0.35)
        expect(one.build).toBeLessThan(0.7)
      }
    }
  })

  const { library } = usualRack
  const victim = library.observations.find(({ dyes, coats }) => dyes.length === 1 && coats > 1)!

  it('name the panel that they contradict where nothing else explains them', () => {
    const lab = { l: victim.lab.l + 12, a: -victim.lab.a - 10, b: victim.lab.b + 25 }
    const again = { ...victim, id: 'again', panel: 'again', lab }
    const suspects = listSuspects(fitFilm(withObservations(library, [...library.observations, again])))
    expect(suspects.map(({ id }) => id)).toEqual(['again'])
    expect(suspects[0]).toMatchObject({ reason: 'contradicts', looksLike: victim.id })
  })

  it('survive readings that no paint has, and put them first', () => {
    const absurd = { ...victim, id: 'absurd', panel: 'absurd', lab: { l: 180, a: 300, b: -400 } }
    const suspects = listSuspects(fitFilm(withObservations(library, [...library.observations, absurd])))
    expect(suspects[0]!.id).toBe('absurd')
    for (const { de00, allowed90 } of suspects) expect(de00).toBeGreaterThan(allowed90)
  })

  it('are sorted, the worst first, and none on an empty rack', () => {
    const { suspects } = withMistake('film-suspects/sorted', 'other-ground', { ...sized, steps: true })
    const times = suspects.map(({ de00, allowed90 }) => de00 / allowed90)
    expect(times.length).toBeGreaterThan(1)
    expect(times).toEqual(times.toSorted((a, b) => b - a))
    expect(listSuspects(fitFilm({ observations: [], groundKinds: new Map(), scatterPerCoat: null }))).toEqual([])
    expect(listSuspects(usualFit)).toEqual([])
  })

  it('are told of a panel that alone shows its candy, and of one whose rack it makes up', () => {
    for (const one of library.observations.slice(0, 12))
      expect(listSuspects(fitFilm(withObservations(library, [one])))).toEqual([])
    const nonsense = library.observations.map((one, i) => ({ ...one, lab: { l: (37 * i) % 100, a: 80, b: -80 + i } }))
    for (const { de00, allowed90 } of listSuspects(fitFilm(withObservations(library, nonsense))))
      expect(de00).toBeGreaterThan(allowed90)
  })
})

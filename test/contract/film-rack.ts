import { join } from 'node:path'
import { dyeLoad } from '../../shared-core/film/forward.ts'
import type { FilmRecipe } from '../../shared-core/film/recipe.ts'
import type { PlanFormula } from '../../shared-core/records/film.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import { draft } from '../rack/fresh.ts'
import { layer } from '../rack/layers-typed.ts'
import { invented } from '../worlds/spectra.ts'
import { labOf, type World, worldOf } from '../worlds/world.ts'
import type { BenchService } from './bench-service.ts'

/** The calls of a service, in this process or behind a page. */
type Calls = Pick<BenchService, 'call'>

/** A small shop whose paint obeys laws that the film model does not know: two candies, two grounds. */
export const shop: World = worldOf('a small shop', { candies: 2, grounds: 2, absorbers: invented })
export const candies = [...shop.candies.keys()]
export const grounds = [...shop.grounds.keys()]

const inSix = (candy: string): Mixture => ({
  name: '',
  basis: 'volume',
  parts: [
    { amount: 1, unit: 'parts', material: { id: null, name: candy, kind: 'concentrate' }, mixture: null },
    { amount: 6, unit: 'parts', material: { id: null, name: 'thin carrier', kind: 'carrier' }, mixture: null },
  ],
})

/** What really comes out of a candy in 6 carrier. */
export const truth = (ground: string, candy: string, coats: number, finish: FilmRecipe['finish'] = 'cleared') =>
  labOf(shop, {
    ground,
    under: null,
    over: null,
    dyes: coats > 0 ? [{ id: candy, load: dyeLoad(coats, 1 / 7) }] : [],
    coats,
    gun: null,
    finish,
  })

/** One panel in steps, each read by an instrument under clear. @returns the panel's id */
export async function hang(service: Calls, ground: string, candy: string, coats: number[]): Promise<string> {
  const { panel } = await service.call('panels.save', {
    draft: draft({
      title: `${candy} on ${ground}`,
      layers: [
        layer('undercoat', 'light grey'),
        layer('ground', ground, { coats: 2 }),
        layer('candy', '', { coats: Math.max(...coats), mixture: inSix(candy) }),
        layer('clear', 'gloss', { coats: 2 }),
      ],
      steps: coats.map((each) => ({ id: null, coats: each, notes: '' })),
    }),
  })
  for (const { id, coats: each } of panel.steps) await read(service, id ?? '', truth(ground, candy, each))
  return panel.id
}

export const read = (service: Calls, stepId: string, lab: { l: number; a: number; b: number }) =>
  service.call('readings.addTyped', {
    stepId,
    lab,
    illuminant: 'D50',
    observer: '2',
    geometry: '45:0',
    bound90: 0.5,
    view: 'face',
    stage: 'cleared',
    lightId: null,
  })

/** Every candy over every ground, at 0, 2 and 4 coats. */
export async function hangShop(service: BenchService): Promise<string[]> {
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Small shop' })
  const panels: string[] = []
  for (const ground of grounds) for (const candy of candies) panels.push(await hang(service, ground, candy, [0, 2, 4]))
  return panels
}

export async function candyId(service: Calls, name: string): Promise<string> {
  const { materials } = await service.call('materials.list', {})
  const found = materials.find((material) => material.name === name)
  if (!found) throw new Error(`No ${name} on the shelf`)
  return found.id
}

export const formulaOf = (parts: [id: string, parts: number][], more: Partial<PlanFormula> = {}): PlanFormula => ({
  candies: parts.map(([id, amount]) => ({ id, parts: amount })),
  carrierParts: 6,
  reducerPercent: 0,
  hardenerPercent: 0,
  under: null,
  over: null,
  gunSetupId: null,
  finish: 'cleared',
  ...more,
})

import type { PlanFormula, PlannedPanel } from '../../../shared-core/records/film.ts'
import type { Mixture, Part } from '../../../shared-core/records/mixture.ts'
import type { GunSetup, Layer, PanelDraft } from '../../../shared-core/records/panel.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { type Liquid, usualLiquids } from '../../rack/queries/film-liquids.ts'
import type { FilmRack, FilmStep } from '../../rack/queries/film-observations.ts'
import { readLayers } from '../../rack/queries/panel-read.ts'
import { mustKnowFormula, mustKnowGrounds } from './known-things.ts'

/**
 * A planned panel as the painter would have typed it in: ground, mid coats and clear as they were sprayed last, the candy
 * from the plan's formula.
 * @throws Refusal `film/unknown-…`
 */
export async function plannedDraft(db: Rack['db'], rack: FilmRack, plan: PlannedPanel): Promise<PanelDraft> {
  const { formula, ground } = plan
  mustKnowGrounds(rack, [ground])
  mustKnowFormula(rack, formula)
  // more than one step of the same coats says nothing more
  const coats = [...new Set(plan.coats)].toSorted((a, b) => a - b)
  const most = coats.at(-1) ?? 0
  const gun = rack.guns.find(({ id }) => id === (formula.gunSetupId ?? usualGun(rack.steps))) ?? null
  const under = await midCoat(db, rack, formula.under)
  const over = await midCoat(db, rack, formula.over)
  const candy = most > 0 && formula.candies.length > 0 ? [await candyLayer(db, rack, formula, most, gun)] : []
  const clear = formula.finish === 'cleared' ? [await clearLayer(db, rack)] : []
  return {
    id: null,
    code: null,
    title: plan.title,
    status: 'planned',
    sprayedOn: null,
    sprayedBy: '',
    substrate: '',
    notes: '',
    tags: [],
    layers: [...(await groundLayers(db, rack, ground)), ...under, ...candy, ...over, ...clear],
    steps: coats.map((count) => ({ id: null, coats: count, notes: '' })),
  }
}

/** The gun set-up that most sprayed steps have, as the film model takes it; ties by id. */
export function usualGun(steps: readonly FilmStep[]): string | null {
  const used = steps.flatMap(({ gunId, coats }) => (gunId !== null && coats > 0 ? [gunId] : []))
  const uses = [...Map.groupBy(used, (id) => id)]
  return uses.toSorted((a, b) => b[1].length - a[1].length || (a[0] < b[0] ? -1 : 1))[0]?.[0] ?? null
}

const blank = (kind: Layer['kind'], name: string, coats: number): Layer => ({
  id: null,
  kind,
  name,
  coats,
  mixture: null,
  gunSetup: null,
  booth: null,
  notes: '',
})
/** As it was sprayed, without what belonged to that day. */
const again = (layer: Layer): Layer => ({ ...layer, id: null, booth: null, notes: '' })

const layersOf = async (db: Rack['db'], panelId: string | undefined): Promise<Layer[]> =>
  panelId === undefined ? [] : ((await readLayers(db, [panelId])).get(panelId) ?? [])
const isCalled = (layer: Layer, name: string): boolean => layer.name.trim().toLowerCase() === name.trim().toLowerCase()

/** Everything from the substrate up to the ground, as on its newest panel. */
async function groundLayers(db: Rack['db'], rack: FilmRack, id: string): Promise<Layer[]> {
  const ground = rack.grounds.find((each) => each.id === id)
  const name = ground?.layerName ?? id
  const newest = rack.steps.find((step) => step.ground === id)
  const layers = await layersOf(db, newest?.panelId)
  const at = layers.findLastIndex(({ kind, name: own }) => (kind === 'ground' || kind === 'solid') && own.trim() !== '')
  const named = layers.findLastIndex(
    (layer) => (layer.kind === 'ground' || layer.kind === 'solid') && isCalled(layer, name),
  )
  const top = named >= 0 ? named : at
  if (top >= 0) {
    // what the panel beneath is made of does not count as its colour
    const kinds: readonly Layer['kind'][] = ['sealer', 'undercoat', 'ground', 'solid']
    return layers.slice(0, top + 1).flatMap((layer) => (kinds.includes(layer.kind) ? [again(layer)] : []))
  }
  const undercoat = ground?.undercoat ? [blank('undercoat', ground.undercoat, 1)] : []
  return [...undercoat, blank('ground', name, 2)]
}

async function midCoat(db: Rack['db'], rack: FilmRack, wanted: PlanFormula['under']): Promise<Layer[]> {
  if (!wanted) return []
  const newest = rack.steps.find(({ under, over }) => under?.id === wanted.id || over?.id === wanted.id)
  const { name = wanted.id } = rack.midCoats.find(({ id }) => id === wanted.id) ?? {}
  const layers = (await layersOf(db, newest?.panelId)).filter(({ kind }) => kind === 'mid-coat')
  const like = layers.find((layer) => isCalled(layer, name)) ?? layers.find((layer) => layer.name.trim() === '')
  return [{ ...(like ? again(like) : blank('mid-coat', name, 1)), coats: wanted.coats }]
}

async function clearLayer(db: Rack['db'], rack: FilmRack): Promise<Layer> {
  const newest = rack.steps.find(({ isCleared }) => isCleared)
  const layers = await layersOf(db, newest?.panelId)
  const like = layers.findLast(({ kind, coats }) => kind === 'clear' && coats > 0)
  return like ? again(like) : blank('clear', '', 2)
}

async function candyLayer(
  db: Rack['db'],
  rack: FilmRack,
  formula: PlanFormula,
  coats: number,
  gunSetup: GunSetup | null,
): Promise<Layer> {
  return { ...blank('candy', '', coats), mixture: await candyMixture(db, rack, formula), gunSetup }
}

/** A plan's cup as the painter would have typed it in, with the carrier, hardener and reducer that are usual here. */
export async function candyMixture(db: Rack['db'], rack: FilmRack, formula: PlanFormula): Promise<Mixture> {
  const ids = formula.candies.map(({ id }) => id)
  const liquids = await usualLiquids(db, ids)
  const concentrates = formula.candies.map(({ id, parts }): Part => {
    const name = rack.candies.find((candy) => candy.id === id)?.name ?? ''
    return { amount: parts, unit: 'parts', material: { id, name, kind: 'concentrate' }, mixture: null }
  })
  const [only, second] = concentrates
  const blend: Part[] =
    only && !second
      ? [{ ...only, amount: 1 }]
      : [{ amount: 1, unit: 'parts', material: null, mixture: { name: 'blend', basis: 'volume', parts: concentrates } }]
  const liquid = (kind: Liquid, amount: number, unit: Part['unit']): Part[] =>
    amount > 0 ? [{ amount, unit, material: liquids[kind], mixture: null }] : []
  return {
    name: '',
    basis: 'volume',
    parts: [
      ...blend,
      ...liquid('carrier', formula.carrierParts, 'parts'),
      ...liquid('hardener', formula.hardenerPercent, 'percent-on-top'),
      ...liquid('reducer', formula.reducerPercent, 'percent-on-top'),
    ],
  }
}

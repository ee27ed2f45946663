import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { namesWithin } from '../../../shared-core/mix/names-within.ts'
import { type DensityOf, type Ingredient, scaleMixture } from '../../../shared-core/mix/quantities.ts'
import type { MaterialKind, Mixture } from '../../../shared-core/records/mixture.ts'
import type { Layer } from '../../../shared-core/records/panel.ts'

/**
 * A panel's layers as the film model takes them: a ground, at most one mid coat beneath the candy and one above it, and
 * the dyes of the candies. What cannot be said so is left out, with the reason in a painter's words.
 */

/** What hides whatever lies beneath it: a ground, or a solid. */
export type GroundSeen = {
  /** As the painter wrote it. */
  name: string
  /** The undercoat that was written down beneath it. */
  undercoat: string | null
  isSolid: boolean
  /** Names of the bases it was mixed from. */
  bases: string[]
}
export type MidCoatSeen = { id: string; name: string; coats: number }
/** One candy layer; `share` is a dye's part of the whole cup by volume. */
type Candy = { coats: number; gunId: string | null; dyes: { id: string; share: number }[] } | { why: string }

export type PanelBuild = {
  grounds: GroundSeen[]
  under: MidCoatSeen | null
  over: MidCoatSeen | null
  /** Candies beneath the last one keep their own coats; a step's coats are those of the last. */
  beneath: Candy[]
  last: Candy | null
  /** The fullest step: of a solid sprayed in steps only this shows it alone. */
  mostCoats: number
}

/** What lies in one step. */
export type StepBuild = {
  ground: GroundSeen
  under: MidCoatSeen | null
  over: MidCoatSeen | null
  /** Layers of candy with their coats and shares, from below. */
  candies: { coats: number; dyes: { id: string; share: number }[] }[]
  coats: number
  gunId: string | null
}

const key = (name: string): string => name.trim().replaceAll(/\s+/gu, ' ')

const nameOf = (layer: Layer, kinds: readonly MaterialKind[]): string =>
  key(layer.name) || (namesWithin(layer.mixture, kinds)[0] ?? '')

/** @returns the build, or why the whole panel is left out */
export function buildOf(
  layers: readonly Layer[],
  stepCoats: readonly number[],
  densityOf: DensityOf,
): PanelBuild | string {
  const candyAt = layers.flatMap((layer, i) => (layer.kind === 'candy' ? [i] : []))
  const lastCandy = candyAt.at(-1)
  const firstCandy = candyAt.find((i) => i === lastCandy || (layers[i]?.coats ?? 0) > 0)
  const grounds: GroundSeen[] = []
  let undercoat: string | null = null
  const mids: { under: MidCoatSeen[]; over: MidCoatSeen[] } = { under: [], over: [] }
  for (const [i, layer] of layers.entries()) {
    if (layer.coats === 0 && layer.kind !== 'candy' && layer.kind !== 'solid') continue
    if (layer.kind === 'undercoat') undercoat = nameOf(layer, ['base', 'sealer']) || null
    if (layer.kind === 'ground' || layer.kind === 'solid') {
      if (firstCandy !== undefined && i > firstCandy) return 'A ground or solid lies over its candy.'
      const name = nameOf(layer, ['base'])
      if (name === '') return 'Its ground has no name.'
      const isSolid = layer.kind === 'solid'
      grounds.push({
        name,
        undercoat: isSolid ? null : undercoat,
        isSolid,
        bases: namesWithin(layer.mixture, ['base']),
      })
    }
    if (layer.kind === 'mid-coat') {
      const name = nameOf(layer, ['pearl', 'flake'])
      if (name === '') return 'Its mid coat has no name.'
      if (namesWithin(layer.mixture, ['concentrate']).length > 0) return `There is dye in its mid coat ${name}.`
      const isOver = lastCandy !== undefined ? i > lastCandy : true
      if (!isOver && firstCandy !== undefined && i > firstCandy) return 'A mid coat lies between two candies.'
      mids[isOver ? 'over' : 'under'].push({ id: name.toLowerCase(), name, coats: layer.coats })
    }
  }
  if (grounds.length === 0) return 'Its ground was not written down.'
  const under = oneMidCoat(mids.under)
  const over = oneMidCoat(mids.over)
  if (under === 'several' || over === 'several') return 'Two different mid coats lie on each other.'
  const candies = candyAt.flatMap((i) => layers[i] ?? [])
  const beneath = candies.slice(0, -1).filter((layer) => layer.coats > 0)
  const last = candies.at(-1)
  return {
    grounds,
    under,
    over,
    beneath: beneath.map((layer) => candyOf(layer, densityOf)),
    last: last ? candyOf(last, densityOf) : null,
    mostCoats: Math.max(0, ...stepCoats),
  }
}

/** Coats of one mid coat add up. */
function oneMidCoat(seen: readonly MidCoatSeen[]): MidCoatSeen | null | 'several' {
  const [first] = seen
  if (!first) return null
  if (seen.some(({ id }) => id !== first.id)) return 'several'
  return { ...first, coats: seen.reduce((sum, { coats }) => sum + coats, 0) }
}

function candyOf({ mixture, coats, gunSetup }: Layer, densityOf: DensityOf): Candy {
  if (!mixture) return { why: 'The formula of its candy was not written down.' }
  const dyes = dyesOf(mixture, densityOf)
  return 'why' in dyes ? dyes : { coats, gunId: gunSetup?.id ?? null, ...dyes }
}

/** The dyes' shares of a whole cup by volume; or why the film model cannot take it. */
export function dyesOf(
  mixture: Mixture,
  densityOf: DensityOf,
): { dyes: { id: string; share: number }[] } | { why: string } {
  const powder = namesWithin(mixture, ['pearl', 'flake'])[0]
  if (powder !== undefined) return { why: `There is ${powder} in its candy: that is not dye alone.` }
  const base = namesWithin(mixture, ['base'])[0]
  if (base !== undefined) return { why: `There is ${base} in its candy, and a base hides.` }
  let poured: Ingredient[]
  try {
    poured = scaleMixture(mixture, { basis: 'volume', amount: 1, of: 'cup' }, densityOf).ingredients
  } catch (error) {
    if (error instanceof Refusal) return { why: error.message }
    throw error
  }
  const shares = new Map<string, number>()
  for (const { material, share } of poured) {
    if (material.kind !== 'concentrate' || material.id === null || share === null) continue
    shares.set(material.id, (shares.get(material.id) ?? 0) + share)
  }
  if (shares.size === 0) return { why: 'There is no concentrate in its candy.' }
  return { dyes: [...shares].map(([id, share]) => ({ id, share })) }
}

/** What lies in a step of so many coats, or why it is left out. */
export function stepOf(build: PanelBuild, coats: number): StepBuild | string {
  const { grounds, under, over, beneath, last, mostCoats } = build
  const top = grounds.at(-1)
  if (!top) return 'Its ground was not written down.'
  if (!last) {
    // the steps are those of the solid, or say nothing
    if (!top.isSolid || coats === mostCoats) return { ground: top, under, over, candies: [], coats: 0, gunId: null }
    const lower = grounds.at(-2)
    if (coats > 0) return 'A solid in steps: only the fullest step shows it alone.'
    return lower
      ? { ground: lower, under, over, candies: [], coats: 0, gunId: null }
      : 'What lies beneath its solid was not written down.'
  }
  const candies: StepBuild['candies'] = []
  let gun: { id: string | null; coats: number } | null = null
  let all = 0
  for (const candy of coats > 0 ? [...beneath, last] : beneath) {
    if ('why' in candy) return candy.why
    const laid = candy === last ? coats : candy.coats
    candies.push({ coats: laid, dyes: candy.dyes })
    all += laid
    // of candies by several guns, the one that laid most of the film
    if (gun === null || laid >= gun.coats) gun = { id: candy.gunId, coats: laid }
  }
  return { ground: top, under, over, candies, coats: all, gunId: gun?.id ?? null }
}

import { Refusal } from '../contract/refusal.ts'
import { nameKey } from '../mix/material-names.ts'
import { namesWithin } from '../mix/names-within.ts'
import { type Ingredient, sharesOf } from '../mix/quantities.ts'
import type { PlanFormula, PlanMidCoat } from '../records/film.ts'
import type { MaterialKind, Mixture } from '../records/mixture.ts'
import type { Layer, Panel } from '../records/panel.ts'
import { reducedParts } from './formula.ts'

export type FormulaOrWhy = { ok: true; formula: PlanFormula } | { ok: false; why: string }

const fail = (why: string): FormulaOrWhy => ({ ok: false, why })
const said: readonly MaterialKind[] = ['concentrate', 'carrier', 'reducer', 'hardener']

/** A panel's formula as the sliders say it, or why they cannot. Candies by their materials, by volume. */
export function planFormulaOf({ layers }: Pick<Panel, 'layers'>): FormulaOrWhy {
  const at = layers.flatMap(({ kind }, i) => (kind === 'candy' ? [i] : []))
  const [first, second] = at
  if (first === undefined) return fail('There is no candy on this panel to plan from.')
  if (second !== undefined) return fail('Several candies lie on each other here; the sliders say one cup.')
  const { mixture, gunSetup } = layers[first]!
  if (!mixture) return fail('The formula of its candy was not written down.')
  const cup = cupOf(mixture)
  if (typeof cup === 'string') return fail(cup)
  const cleared = layers.some(({ kind, coats }, i) => kind === 'clear' && coats > 0 && i > first)
  const under = midCoat(layers.slice(0, first))
  const over = midCoat(layers.slice(first + 1))
  if (under === 'several' || over === 'several') return fail('Two different mid coats lie on each other here.')
  return {
    ok: true,
    formula: { ...cup, under, over, gunSetupId: gunSetup?.id ?? null, finish: cleared ? 'cleared' : 'uncleared' },
  }
}

type Cup = Pick<PlanFormula, 'candies' | 'carrierParts' | 'reducerPercent' | 'hardenerPercent'>

/** Figures that came out of fractions: 4 : 1 in 6 : 1 is 4, 1 and 6 again. */
const rounded = (value: number): number => Math.round(value * 1000) / 1000

function cupOf(mixture: Mixture): Cup | string {
  if (mixture.basis === 'mass') return 'Its candy was mixed by mass; the sliders mix by volume.'
  let shares: Ingredient[]
  try {
    shares = sharesOf(mixture)
  } catch (error) {
    if (error instanceof Refusal) return error.message
    throw error
  }
  const other = shares.find(({ material, powder }) => powder || !said.includes(material.kind))
  if (other) return `There is ${other.material.name} in its candy, which no slider says.`
  const of = (kind: MaterialKind) =>
    shares.reduce((sum, { material, share }) => sum + (material.kind === kind ? (share ?? 0) : 0), 0)
  const dyes = new Map<string, number>()
  for (const { material, share } of shares) {
    if (material.kind !== 'concentrate') continue
    if (material.id === null) return `${material.name} is not on the shelf yet.`
    dyes.set(material.id, (dyes.get(material.id) ?? 0) + (share ?? 0))
  }
  const blend = of('concentrate')
  if (blend === 0) return 'There is no concentrate in its candy.'
  const body = blend + of('carrier')
  const parts = wholeParts([...dyes.values()])
  return {
    candies: [...dyes.keys()].map((id, i) => ({ id, parts: parts[i]! })),
    carrierParts: rounded(of('carrier') / blend),
    reducerPercent: rounded((100 * of('reducer')) / body),
    hardenerPercent: rounded((100 * of('hardener')) / body),
  }
}

/** The most whole parts that are tried for the smallest share. */
const mostOfLeast = 12

/** Shares as whole parts where some fit (0.8 and 0.2 are 4 : 1), otherwise as parts to one of the smallest. */
function wholeParts(shares: readonly number[]): number[] {
  const least = Math.min(...shares)
  for (let times = 1; times <= mostOfLeast; times++) {
    const parts = shares.map((share) => (share / least) * times)
    if (parts.every((part) => Math.abs(part - Math.round(part)) < 1e-6)) return reducedParts(parts.map(Math.round))
  }
  return shares.map((share) => rounded(share / least))
}

function midCoat(layers: readonly Layer[]): PlanMidCoat | null | 'several' {
  const mids = layers.filter(({ kind, coats }) => kind === 'mid-coat' && coats > 0)
  const names = [...new Set(mids.map(nameOf))]
  const [id, another] = names
  if (id === undefined || id === '') return null
  return another === undefined ? { id, coats: mids.reduce((sum, { coats }) => sum + coats, 0) } : 'several'
}

/** As the film model names mid coats: by the layer's name, else its pearl or flake, in lower case. */
const nameOf = ({ name, mixture }: Layer): string =>
  nameKey(name.trim() || (namesWithin(mixture, ['pearl', 'flake'])[0] ?? ''))

import { nameKey } from '../mix/material-names.ts'
import { namesWithin } from '../mix/names-within.ts'
import type { KnownGround } from '../records/film.ts'
import type { MaterialKind } from '../records/mixture.ts'
import type { Layer } from '../records/panel.ts'

/** What lies beneath the candy, as it was written down; null where nothing was. */
export type GroundWritten = { name: string; undercoat: string | null }

const nameOf = ({ name, mixture }: Layer, kinds: readonly MaterialKind[]): string =>
  name.trim() || (namesWithin(mixture, kinds)[0] ?? '')

/** The last ground or solid beneath the first candy, by its layer's name or else by its base, and its undercoat. */
export function groundOfLayers(layers: readonly Layer[]): GroundWritten | null {
  const candyAt = layers.findIndex(({ kind }) => kind === 'candy')
  const beneath = (candyAt < 0 ? layers : layers.slice(0, candyAt)).filter(({ coats }) => coats > 0)
  const at = beneath.findLastIndex(({ kind }) => kind === 'ground' || kind === 'solid')
  const ground = beneath[at]
  const name = ground ? nameOf(ground, ['base']) : ''
  if (!ground || name === '') return null
  const under = beneath.slice(0, at).findLast(({ kind }) => kind === 'undercoat')
  const undercoat = under && ground.kind === 'ground' ? nameOf(under, ['base', 'sealer']) : ''
  return { name, undercoat: undercoat || null }
}

/**
 * The ground that the film model knows for what was written down. One name over several undercoats is several grounds to
 * it, "gold over light grey"; where the panel does not say, the one that was read most.
 */
export function knownGround({ name, undercoat }: GroundWritten, grounds: readonly KnownGround[]): KnownGround | null {
  const alone = grounds.find(({ id }) => id === nameKey(name))
  if (alone) return alone
  const over = (text: string) => `${nameKey(name)} over ${text}`
  if (undercoat !== null) return grounds.find(({ id }) => id === over(nameKey(undercoat))) ?? null
  const several = grounds.filter(({ id }) => id.startsWith(over('')))
  return several.toSorted((a, b) => b.stepCount - a.stepCount)[0] ?? null
}

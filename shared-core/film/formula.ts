import { dyeLoad } from './forward.ts'
import type { FilmRecipe } from './recipe.ts'

/** A cup as a painter mixes it, by volume, and what it is sprayed over; things by id. */
export type FilmFormula = {
  ground: string
  /** Parts of the blend; none: the bare ground. */
  candies: readonly { id: string; parts: number }[]
  /** Parts of carrier to one part of blend; 0 is straight. */
  carrierParts: number
  /** Each in percent, on top of blend and carrier. */
  reducerPercent: number
  hardenerPercent: number
  under: FilmRecipe['under']
  over: FilmRecipe['over']
  gun: string | null
  finish: FilmRecipe['finish']
}

/** What one step of a panel is. @param coats  0: the bare ground, whatever is in the cup */
export function recipeOfFormula(formula: FilmFormula, coats: number): FilmRecipe {
  const { ground, candies, under, over, gun, finish } = formula
  const all = candies.reduce((sum, { parts }) => sum + parts, 0)
  const isBare = !(coats > 0 && all > 0)
  const one = blendShare(formula)
  return {
    ground,
    under,
    over,
    gun,
    finish,
    coats: isBare ? 0 : coats,
    dyes: isBare ? [] : candies.map(({ id, parts }) => ({ id, load: dyeLoad(coats, (parts / all) * one) })),
  }
}

/** The blend's share of the whole cup, 0 to 1. */
export const blendShare = ({
  carrierParts,
  reducerPercent,
  hardenerPercent,
}: Pick<FilmFormula, 'carrierParts' | 'reducerPercent' | 'hardenerPercent'>): number =>
  1 / (1 + carrierParts) / (1 + (reducerPercent + hardenerPercent) / 100)

/** Greatest common divisor of whole numbers. */
const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b))
/** 4 : 2 is 2 : 1. */
export function reducedParts(parts: readonly number[]): number[] {
  const by = parts.reduce(divisor, 0)
  return parts.map((part) => part / by)
}

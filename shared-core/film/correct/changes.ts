import type { FilmFormula } from '../formula.ts'

/** One thing done otherwise: `by` in coats or parts, below 0 for less. A candy that was not in the cup is added. */
export type Change =
  | { what: 'coats'; by: number }
  | { what: 'candy'; id: string; by: number; isNew: boolean }
  | { what: 'carrier'; by: number }

export type Changed = { formula: FilmFormula; coats: number; changes: readonly Change[] }

const coatSteps = [-2, -1, 0, 1, 2]
const partSteps = [-1, -0.5, 0.5, 1]
const mostParts = 100

/**
 * What a painter would try: a coat or two, half a part or a part of one candy, a part of carrier, half a part of a candy
 * that was not in the cup; one change of the cup at a time, with or without a change of coats.
 * @param onSprayed  the part is sprayed: coats of the same cup can be added, nothing else
 * @param adds       candies that may be added
 */
export function changesAround(
  formula: FilmFormula,
  coats: number,
  { onSprayed, adds }: { onSprayed: boolean; adds: readonly string[] },
): Changed[] {
  const cups = onSprayed ? [{ formula, changes: [] as Change[] }] : cupsAround(formula, adds)
  return cups.flatMap((cup) =>
    coatSteps
      .filter((by) => coats + by >= 1 && !(onSprayed && by < 0))
      .map((by) => ({
        formula: cup.formula,
        coats: coats + by,
        changes: by === 0 ? cup.changes : [{ what: 'coats' as const, by }, ...cup.changes],
      })),
  )
}

function cupsAround(formula: FilmFormula, adds: readonly string[]): { formula: FilmFormula; changes: Change[] }[] {
  const { candies, carrierParts } = formula
  const whole = candies.reduce((sum, { parts }) => sum + parts, 0)
  const withParts = (id: string, parts: number): FilmFormula => ({
    ...formula,
    candies: candies.flatMap((candy) => (candy.id === id ? (parts > 0 ? [{ id, parts }] : []) : [candy])),
  })
  const parts = candies.flatMap(({ id, parts: old }) =>
    // of one candy alone a part more is the same cup
    (candies.length > 1 ? partSteps : [])
      .filter((by) => old + by >= 0 && old + by <= mostParts && whole + by > 0)
      .map((by) => ({ formula: withParts(id, old + by), changes: [{ what: 'candy' as const, id, by, isNew: false }] })),
  )
  const carrier = partSteps
    .filter((by) => carrierParts > 0 && carrierParts + by > 0)
    .map((by) => ({
      formula: { ...formula, carrierParts: carrierParts + by },
      changes: [{ what: 'carrier' as const, by }],
    }))
  const added = adds
    .filter((id) => !candies.some((candy) => candy.id === id))
    .flatMap((id) =>
      [0.5, 1]
        .filter((by) => by <= whole)
        .map((by) => ({
          formula: { ...formula, candies: [...candies, { id, parts: by }] },
          changes: [{ what: 'candy' as const, id, by, isNew: true }],
        })),
    )
  return [{ formula, changes: [] }, ...parts, ...carrier, ...added]
}

const counts = ['no', 'one', 'two', 'three']

/** "One more coat, half a part less Damson in the next cup"; empty for no change. */
export function changesInWords(changes: readonly Change[], nameOf: (candyId: string) => string): string {
  const words = changes.map((change) => {
    const by = Math.abs(change.by)
    const way = change.by > 0 ? 'more' : 'less'
    if (change.what === 'coats') {
      const count = counts[by] ?? String(by)
      return change.by > 0
        ? `${count} more ${by === 1 ? 'coat' : 'coats'}`
        : `${count} ${by === 1 ? 'coat' : 'coats'} less`
    }
    const part = by === 0.5 ? 'half a part' : by === 1 ? 'one part' : `${by} parts`
    if (change.what === 'carrier') return `${part} ${way} carrier`
    return change.isNew ? `${part} of ${nameOf(change.id)} added` : `${part} ${way} ${nameOf(change.id)}`
  })
  if (words.length === 0) return ''
  const inCup = changes.some(({ what }) => what !== 'coats') ? ' in the next cup' : ''
  const said = `${words.join(', ')}${inCup}`
  return said.charAt(0).toUpperCase() + said.slice(1)
}

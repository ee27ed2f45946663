import type { FilmKnowledge, KnownGround, PlanFormula } from '../../../shared-core/records/film.ts'
import { isRead } from '../../parts/film/film-words.ts'
import type { CellAt } from '../../state/plan.ts'

/** Columns that are shown before anybody chose. */
const shownAtFirst = 8
/** Parts of carrier to one of blend: common practice, no source. */
const usualCarrier = 6

/** Where Plan starts on a rack: the candy that is known best, as it is usually mixed. */
export function firstFormula({ candies }: FilmKnowledge): PlanFormula | null {
  const [most] = candies.filter(isRead).toSorted((a, b) => b.stepCount - a.stepCount)
  if (!most) return null
  return {
    candies: [{ id: most.id, parts: 1 }],
    carrierParts: usualCarrier,
    reducerPercent: 0,
    hardenerPercent: 0,
    under: null,
    over: null,
    gunSetupId: null,
    finish: 'cleared',
  }
}

/** The grounds across: those chosen that the rack still has, or the first few by how often they are sprayed. */
export function shownGrounds({ grounds }: FilmKnowledge, chosen: readonly string[] | null): KnownGround[] {
  const byUse = grounds.filter(isRead).toSorted((a, b) => b.stepCount - a.stepCount)
  const own = (chosen ?? []).flatMap((id) => grounds.find((ground) => ground.id === id) ?? [])
  return own.length > 0 ? own : byUse.slice(0, shownAtFirst)
}

/** The cell that is looked at: the one chosen while it is in the table, else the usual coats over the first ground. */
export function shownCell(
  chosen: CellAt | null,
  grounds: readonly KnownGround[],
  coatsTo: number,
  usualCoats: number,
): CellAt {
  const isThere =
    chosen !== null &&
    grounds.some(({ id }) => id === chosen.ground) &&
    chosen.coats % 1 === 0 &&
    chosen.coats <= coatsTo
  return isThere ? chosen : { ground: grounds[0]?.id ?? '', coats: Math.min(Math.round(usualCoats), coatsTo) }
}

/** A formula from an old address or another rack may name what this rack has not. @returns what is missing, in words */
export function unknownIn({ candies, under, over, gunSetupId }: PlanFormula, knows: FilmKnowledge): string[] {
  const has = (list: readonly { id: string }[], id: string) => list.some((each) => each.id === id)
  return [
    ...(candies.some(({ id }) => !has(knows.candies, id)) ? ['a candy'] : []),
    ...([under, over].some((mid) => mid !== null && !has(knows.midCoats, mid.id)) ? ['a mid coat'] : []),
    ...(gunSetupId !== null && !has(knows.guns, gunSetupId) ? ['a gun set-up'] : []),
  ]
}

/** The formula without what this rack does not have. */
export function knownPart(formula: PlanFormula, knows: FilmKnowledge): PlanFormula {
  const has = (list: readonly { id: string }[], id: string) => list.some((each) => each.id === id)
  return {
    ...formula,
    candies: formula.candies.filter(({ id }) => has(knows.candies, id)),
    under: formula.under && has(knows.midCoats, formula.under.id) ? formula.under : null,
    over: formula.over && has(knows.midCoats, formula.over.id) ? formula.over : null,
    gunSetupId: formula.gunSetupId !== null && has(knows.guns, formula.gunSetupId) ? formula.gunSetupId : null,
  }
}

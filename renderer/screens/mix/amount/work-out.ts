import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { type CupContents, scaleCup } from '../../../../shared-core/mix/cup/contents.ts'
import type { Measuring } from '../../../../shared-core/mix/cup/measuring.ts'
import { type CupPlan, planCup, planPour, usualFill } from '../../../../shared-core/mix/cup/pour-plan.ts'
import { fillCup, largestCup, type OnHand } from '../../../../shared-core/mix/cup/targets.ts'
import { compare, divide, fromNumber, type Rational, rational, toNumber } from '../../../../shared-core/mix/rational.ts'
import { densityFrom, onShelf, solidsFrom } from '../../../../shared-core/mix/shelf-facts.ts'
import type { SprayJob, SprayNeed } from '../../../../shared-core/mix/surface/spray-need.ts'
import { formatQuantity, formatShort } from '../../../../shared-core/mix/units.ts'
import type { CupTarget } from '../../../../shared-core/records/cup.ts'
import type { PartToPaint } from '../../../../shared-core/records/customer-job.ts'
import type { Material, MaterialRef, Mixture } from '../../../../shared-core/records/mixture.ts'
import type { MixDraft, MixHabits } from '../../../state/mix-draft.ts'
import type { Wording } from '../say-amounts.ts'
import { wantedSpray } from '../surface/spray-job.ts'

export type Asked = {
  mixture: Mixture
  draft: MixDraft
  habits: MixHabits
  measuring: Measuring
  materials: readonly Material[]
  jobParts: readonly PartToPaint[]
  words: Wording
}

/** Everything that follows from what was asked. */
export type WorkedOut = {
  whole: CupContents
  plan: CupPlan
  /** Equal cups to start, and what each of them is. */
  count: number
  each: CupTarget
  spray: { job: SprayJob; need: SprayNeed } | null
  /** What is on hand does not reach; null: it does, or nobody counted. */
  shortOf: MaterialRef | null
}
export type Outcome =
  | { ok: true; worked: WorkedOut }
  /** `wanting`: something has not been entered yet, which is no fault. */
  | { ok: false; why: 'wanting' | 'refused'; code: string; message: string; remedy: string }

const wanting = (message: string): Outcome => ({ ok: false, why: 'wanting', code: '', message, remedy: '' })

/** What to pour for what was asked, or what is still missing. */
export function workOut(asked: Asked): Outcome {
  try {
    return reckon(asked)
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    return { ok: false, why: 'refused', code: error.code, message: error.message, remedy: error.remedy }
  }
}

function reckon(asked: Asked): Outcome {
  const { habits, mixture, measuring, materials } = asked
  const densityOf = densityFrom(materials)
  const vessel = habits.cupMl === null ? null : { cupMl: fromNumber(habits.cupMl), fill: usualFill }
  const sized = wholeOf(asked)
  if ('ok' in sized) return sized
  const { whole, spray, words, count } = sized
  const one = count === 1 ? whole : scaleCup(whole, rational(1n, BigInt(count)))
  const plan =
    count === 1
      ? planCup(whole, measuring, vessel, densityOf)
      : { batches: count, each: planPour(one, measuring, densityOf), fits: null }
  return {
    ok: true,
    worked: {
      whole,
      plan,
      count: plan.batches,
      each: targetOf(whole, plan.batches, words, measuring),
      spray,
      shortOf: shortOf(mixture, whole, materials),
    },
  }
}

type Sized = { whole: CupContents; words: string; count: number; spray: WorkedOut['spray'] }

function wholeOf(asked: Asked): Sized | Outcome {
  const { draft, habits, mixture, materials, words } = asked
  const densityOf = densityFrom(materials)
  const say = (amount: number, measure: 'volume' | 'mass') =>
    formatQuantity(amount, measure, words.system, words.decimal)
  const alone = (whole: CupContents, said: string): Sized => ({ whole, words: said, count: 1, spray: null })
  switch (draft.target) {
    case 'volume':
    case 'mass': {
      const amount = draft.target === 'volume' ? draft.volumeMl : draft.massG
      if (amount === null) return wanting('Say how much is wanted.')
      return alone(
        fillCup(mixture, { kind: 'amount', basis: draft.target, amount }, densityOf),
        say(amount, draft.target),
      )
    }
    case 'left': {
      const left = leftOf(draft, materials)
      const { name } = draft.left
      if (name === null) return wanting('Choose the ingredient that is to be used up.')
      if (left === null) return wanting(`Nobody counted ${name} on the shelf: say how much of it is left.`)
      const { amount, basis } = left
      const material = { id: null, name, kind: 'other' as const }
      const whole = fillCup(mixture, { kind: 'use-up', material, amount, basis }, densityOf)
      return alone(whole, `All that is left of ${name}: ${say(amount, basis)}`)
    }
    case 'cups': {
      const { cupCount, fillPercent } = draft
      if (habits.cupMl === null) return wanting('Say what a cup holds to the brim.')
      if (cupCount === null || fillPercent === null) return wanting('Say how many cups, and how full.')
      const fill = rational(BigInt(Math.round(fillPercent * 10)), 1000n)
      const whole = fillCup(mixture, { kind: 'cups', count: cupCount, cupMl: habits.cupMl, fill }, densityOf)
      const said = `${cupCount} × ${say(habits.cupMl, 'volume')} cup, ${formatShort(fillPercent, 1, words.decimal)} % full`
      return { whole, words: said, count: cupCount, spray: null }
    }
    case 'surface': {
      const wanted = wantedSpray(asked, solidsFrom(materials), densityOf)
      if ('wants' in wanted) return wanting(wanted.wants)
      const { job, need, words: said } = wanted
      const whole = fillCup(mixture, { kind: 'amount', basis: 'volume', amount: need.readyMl }, densityOf)
      return { whole, words: said, count: 1, spray: { job, need } }
    }
  }
}

/** What is left of the chosen ingredient: as typed, else as the shelf says; null: nobody said. */
export function leftOf({ left }: MixDraft, materials: readonly Material[]): OnHandAmount | null {
  if (left.amount !== null) return { amount: left.amount, basis: left.basis }
  if (left.name === null) return null
  const counted = onShelf(materials, { id: null, name: left.name, kind: 'other' })?.onHand ?? null
  return counted && counted.amount > 0 ? counted : null
}
type OnHandAmount = { amount: number; basis: 'volume' | 'mass' }

/** By volume where it is known: that is how cups are talked about. */
function targetOf(whole: CupContents, cups: number, words: string, { by }: Measuring): CupTarget {
  const part = (amount: Rational): number => toNumber(divide(amount, rational(BigInt(cups))))
  const said = cups === 1 ? words : `${words}; one of ${cups} equal cups`
  if (whole.volumeMl && (by === 'volume' || !whole.massG)) {
    return { basis: 'volume', amount: part(whole.volumeMl), words: said }
  }
  if (whole.massG) return { basis: 'mass', amount: part(whole.massG), words: said }
  // planPour has refused a cup of which neither is known
  throw new Error('neither volume nor mass of the cup is known')
}

/** What runs out first, when the shelf has less than the whole takes. */
function shortOf(mixture: Mixture, whole: CupContents, materials: readonly Material[]): MaterialRef | null {
  const densityOf = densityFrom(materials)
  const counted = whole.contents.flatMap(({ material, powder }): OnHand[] => {
    const onHand = onShelf(materials, material)?.onHand
    if (!onHand) return []
    // a count that cannot be compared with this cup says nothing
    if (onHand.basis === 'volume' && powder) return []
    if (onHand.basis !== mixture.basis && densityOf(material) === null) return []
    return [{ material, ...onHand }]
  })
  const gone = counted.find(({ amount }) => amount === 0)
  if (gone) return gone.material
  const most = largestCup(mixture, counted, densityOf)
  if (!most) return null
  const [have, want] =
    most.cup.volumeMl && whole.volumeMl ? [most.cup.volumeMl, whole.volumeMl] : [most.cup.massG, whole.massG]
  return have && want && compare(have, want) < 0 ? most.limitedBy : null
}

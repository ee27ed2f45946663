import { sharesOf } from '../../../shared-core/capture/shared-errors.ts'
import type { Input, Output } from '../../../shared-core/contract/calls.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { changesInWords } from '../../../shared-core/film/correct/changes.ts'
import { planFormulaOf } from '../../../shared-core/film/formula-of-panel.ts'
import { shouldBeTogether } from '../../../shared-core/match/check-outcome.ts'
import type { CustomerJob } from '../../../shared-core/records/customer-job.ts'
import type { PlanFormula } from '../../../shared-core/records/film.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { readCustomerJob } from '../../rack/queries/bench/customer-jobs.ts'
import { readPanel } from '../../rack/queries/panel-read.ts'
import type { Context } from '../context.ts'
import { filmFormula, planFormula } from '../film/plan-recipe.ts'
import { mustKnowSomething, prediction } from '../film/predictions.ts'
import { knowsNothing } from '../film/refusals.ts'
import { meanOfBound, targetOf } from '../film/target.ts'
import { namesOf } from '../film/words.ts'
import { mustHaveFormula } from './check-panel.ts'
import { judgeChecks } from './judge-checks.ts'

/** So many different things to do are offered. */
const mostOffered = 5
const nothingToChange = 'The check panel lies within the tolerance: nothing needs to be changed.'
const sprayACheck = 'A prediction is not a panel: spray a check panel.'

type Correct = Output<'customerJobs.correct'>

/** What to change after a check panel that has been read, from the film model with that panel in it. */
export async function correctJob(
  context: Context,
  { customerJobId, checkId, partIsSprayed }: Input<'customerJobs.correct'>,
): Promise<Correct> {
  const { job, panel, pair, coats, stepId, outcome } = await context.rack().read(async (db) => {
    const found = await readCustomerJob(db, customerJobId)
    mustHaveFormula(found)
    const judged = (await judgeChecks(db, found)).find((each) => each.outcome.checkId === checkId)
    if (!judged?.pair) throw notRead(found, judged?.outcome.words)
    const { outcome: how } = judged
    return {
      job: found,
      panel: await readPanel(db, how.panelId),
      pair: judged.pair,
      coats: how.coats,
      stepId: how.stepId,
      outcome: how,
    }
  })
  if (outcome.verdict === 'within') return { corrections: [], words: `${nothingToChange} ${sprayACheck}` }
  const sliders = planFormulaOf(panel)
  if (!sliders.ok) throw cannotSay(sliders.why)
  return context.film.use(context.rack(), async (on) => {
    mustKnowSomething(on.rack)
    const step = on.rack.steps.find((each) => each.stepId === stepId)
    if (!step) throw cannotSay(on.rack.leftOut.find((each) => each.stepId === stepId)?.why ?? 'It was not sprayed yet.')
    const { check, target } = errorsOf(pair)
    const found = await on.ask({
      what: 'correct',
      check: { ...check, formula: filmFormula(sliders.formula, step.ground), coats },
      target,
      options: {
        onSprayed: partIsSprayed,
        adds: on.rack.candies.flatMap(({ id, onShelf }) => (onShelf ? [id] : [])),
        count: mostOffered,
      },
    })
    if (!found) throw knowsNothing()
    const names = namesOf(on.rack)
    const corrections = found.corrections.map(({ formula, coats: count, changes, predicted, de00, bound90 }) => ({
      words: changesInWords(changes, names.candy),
      recipe: { formula: planFormula(formula) satisfies PlanFormula, ground: step.ground, coats: count },
      prediction: prediction(predicted, names),
      expectedDe00: de00,
      expectedBound90: bound90,
      onSprayedPart: changes.every((change) => change.what === 'coats' && change.by > 0),
    }))
    const isSure = found.corrections[0]?.isSure ?? false
    const isApart = shouldBeTogether(pair.check, pair.reference)
    const words = [whatToDo(job, found.asItIs, corrections, { isSure, partIsSprayed, isApart }), sprayACheck].join(' ')
    return { corrections, words }
  })
}

/** In one or two sentences, with figures as they are known: to a tenth. */
function whatToDo(
  { tolerance }: CustomerJob,
  asItIs: { de00: number },
  [best]: Correct['corrections'],
  { isSure, partIsSprayed, isApart }: { isSure: boolean; partIsSprayed: boolean; isApart: boolean },
): string {
  if (!best)
    return partIsSprayed
      ? 'More coats are not expected to bring it nearer.'
      : 'No change of coats, parts or carrier is expected to come nearer than the same again.'
  const gain = `from ${asItIs.de00.toFixed(1)} to ${best.expectedDe00.toFixed(1)}`
  const onePicture =
    'Photograph reference and check panel in one picture first: apart, the photos’ own errors may be it.'
  if (!isSure) {
    const more = isApart ? ` ${onePicture}` : ''
    return `No change is called for: the best, ${lowerFirst(best.words)}, is expected to bring the difference ${gain}, and that gain is below its doubt.${more}`
  }
  const reach =
    best.expectedDe00 - best.expectedBound90 > tolerance
      ? ' Even that stays beyond the tolerance; look in Plan for another way.'
      : best.expectedDe00 > tolerance
        ? ' It may still lie beyond the tolerance.'
        : ''
  return `${best.words} is expected to bring the difference ${gain}.${reach}${isApart ? ` ${onePicture}` : ''}`
}

const lowerFirst = (words: string): string => words.charAt(0).toLowerCase() + words.slice(1)

/** Errors of check panel and reference, mean lengths in dE00; what both share (one photo, one set-up) stands apart. */
function errorsOf({ check, reference }: { check: Reading; reference: Reading }) {
  const [own, others] = [sharesOf(check), sharesOf(reference)]
  const inOnePhoto = check.photoId !== null && check.photoId === reference.photoId
  const bySetup = check.setupId !== null && check.setupId !== undefined && check.setupId === reference.setupId
  const together = (shares: typeof own): number =>
    inOnePhoto ? Math.hypot(shares.photo, shares.setup) : bySetup ? shares.setup : 0
  const shared = Math.min(together(own), together(others))
  const apart = (reading: Reading): { lab: Reading['lab']; noise: number } => {
    const { lab, noise } = targetOf(reading)
    return { lab, noise: Math.sqrt(Math.max(0, noise ** 2 - (shared * meanOfBound) ** 2)) }
  }
  return { check: { ...apart(check), shared: shared * meanOfBound }, target: apart(reference) }
}

const notRead = (job: CustomerJob, why = 'The check panel is not in the rack (any more).'): Refusal =>
  new Refusal(
    'reading/absent',
    `Job ${job.code}: ${why}`,
    'Photograph reference and check panel in one picture, and file it.',
  )

const cannotSay = (why: string): Refusal =>
  new Refusal(
    'film/knows-nothing',
    `The film model cannot say what to change: ${why}`,
    'Write down ground and formula of the check panel, or change it by eye.',
  )

import { differenceCiede2000 } from '../colour/difference.ts'
import type { Lab } from '../colour/lab.ts'
import { lengthBound90 } from './doubt.ts'
import type { FilmFit } from './fitted.ts'
import type { FilmObservation, FilmRecipe } from './recipe.ts'
import { type Cause, differenceFrom, leftOver, likeliestCause } from './suspects/explain.ts'
import { setAside } from './suspects/set-aside.ts'

/** A reading that does not fit what its formula gives. */
export type FilmSuspect = {
  /** Of the observation, and its panel. */
  id: string
  panel: string
  expected: Lab
  de00: number
  allowed90: number
  reason: 'thin' | 'thick' | 'other-ground' | 'other-candy' | 'misread' | 'contradicts'
  /** Film build that the reading asks for, 1: as the formula says; with `thin` and `thick`. */
  build: number
  /** The ground or candy that it looks like, and the candy whose place that takes; the reading that it contradicts. */
  looksLike: string | null
  insteadOf: string | null
  /** Whether several steps of the panel are off in the same way. */
  wholePanel: boolean
}

/**
 * How many times what the doubts allow in nine of ten readings a difference must be. Between one and this, readings of a
 * sound rack lie in one case of ten; beyond it in about one of a thousand.
 */
const farOff = 1.7
/** A cause counts that leaves this share of the difference, or what the reading's own error explains. */
const mostLeft = 0.45

/**
 * Readings that do not fit what the rest of the rack says of their formula, the worst first, with the likeliest reason. All
 * steps of a panel that are off for one reason carry that reason. Fits the rack again without the worst, a few times.
 */
export function listSuspects(fit: FilmFit): FilmSuspect[] {
  const rest = setAside(fit, isFarOff)
  const byPanel = Map.groupBy(fit.observations, ({ panel }) => panel)
  const fitting = rest.fit.observations.filter(({ panel }) => !rest.panels.has(panel))
  const suspects = [...rest.panels].flatMap((panel) => {
    const reads = byPanel.get(panel) ?? []
    return suspectsOfPanel(
      rest.fit,
      reads.map((read) => stepOf(fit, rest.fit, read)),
      fitting,
    )
  })
  return suspects.toSorted((a, b) => b.de00 / b.allowed90 - a.de00 / a.allowed90)
}

type Step = { read: FilmObservation; expected: Lab; de00: number; allowed90: number }

const isFarOff = (de00: number, allowed90: number): boolean => de00 > farOff * allowed90

/** What a reading looks like to the rest of the rack; to the whole rack where the rest never saw its ground or a candy. */
function stepOf(whole: FilmFit, rest: FilmFit, read: FilmObservation): Step {
  const difference = differenceFrom(rest, read, read, 1) ?? differenceFrom(whole, read, read, 1)
  if (!difference) throw new RangeError(`A reading of something that the fit does not know: ${read.id}`)
  const { expected, vector, covariance } = difference
  return { read, expected, de00: Math.hypot(...vector), allowed90: lengthBound90(covariance) }
}

function suspectsOfPanel(fit: FilmFit, steps: readonly Step[], fitting: readonly FilmObservation[]): FilmSuspect[] {
  const off = steps.filter(({ de00, allowed90 }) => isFarOff(de00, allowed90))
  if (off.length === 0) return []
  // where most of the panel is off, all of it is asked
  const asked = 2 * off.length > steps.length ? steps : off
  const together = likeliestCause(
    fit,
    asked.map(({ read }) => read),
  )
  return off.map((step) => {
    const explains = (cause: Cause) => explainsStep(fit, step, cause)
    const cause = explains(together) || off.length === 1 ? together : likeliestCause(fit, [step.read])
    const wholePanel = off.length > 1 && cause === together && cause.kind !== 'misread'
    return suspectOf(step, explains(cause) ? cause : { kind: 'misread' }, wholePanel, contradicted(step, fitting))
  })
}

function explainsStep(fit: FilmFit, { read, de00, allowed90 }: Step, cause: Cause): boolean {
  if (cause.kind === 'misread') return true
  const left = leftOver(fit, read, cause)
  return left < Math.max(mostLeft * de00, allowed90) && left < de00
}

function suspectOf(
  { read: { id, panel }, expected, de00, allowed90 }: Step,
  cause: Cause,
  wholePanel: boolean,
  other: string | null,
): FilmSuspect {
  const same = { id, panel, expected, de00, allowed90, wholePanel, build: 1, looksLike: null, insteadOf: null }
  switch (cause.kind) {
    case 'build':
      return { ...same, reason: cause.build < 1 ? 'thin' : 'thick', build: cause.build }
    case 'other-ground':
      return { ...same, reason: 'other-ground', looksLike: cause.id }
    case 'other-candy':
      return { ...same, reason: 'other-candy', looksLike: cause.to, insteadOf: cause.from }
    case 'misread':
      return other === null ? { ...same, reason: 'misread' } : { ...same, reason: 'contradicts', looksLike: other }
  }
}

/** A reading of the same recipe on a panel that fits, and that this one lies too far from. */
function contradicted({ read, allowed90 }: Step, fitting: readonly FilmObservation[]): string | null {
  let nearest: string | null = null
  let least = Number.POSITIVE_INFINITY
  for (const other of fitting) {
    if (!isSameRecipe(read, other)) continue
    const apart = differenceCiede2000(read.lab, other.lab)
    if (apart < least) [least, nearest] = [apart, other.id]
  }
  return least > farOff * allowed90 ? nearest : null
}

/** Loads that were typed as other figures and mean the same. */
const alike = (a: number, b: number): boolean => Math.abs(a - b) <= 0.02 * Math.max(a, b)
type Mid = FilmRecipe['under']
const sameMid = (a: Mid, b: Mid): boolean => (a && b ? a.id === b.id && alike(a.coats, b.coats) : a === b)

const isSameRecipe = (a: FilmRecipe, b: FilmRecipe): boolean =>
  a.ground === b.ground &&
  a.finish === b.finish &&
  sameMid(a.under, b.under) &&
  sameMid(a.over, b.over) &&
  a.dyes.length === b.dyes.length &&
  a.dyes.every(({ id, load }) => b.dyes.some((dye) => dye.id === id && alike(dye.load, load)))

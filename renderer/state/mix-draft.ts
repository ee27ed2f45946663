import { create } from 'zustand'
import type { PartSurface } from '../../shared-core/records/customer-job.ts'
import type { Basis } from '../../shared-core/records/mixture.ts'

/** How a new cup's size is said. */
export type TargetKind = 'volume' | 'mass' | 'left' | 'cups' | 'surface'

export type DraftPart = { id: string; name: string; surface: PartSurface }

/** How much is to be mixed, as far as it has been said. mL, g, µm, m²; null: not said. */
export type MixDraft = {
  /** Which of the formulas that the panel has: its candy, its clear. */
  choice: number
  target: TargetKind
  volumeMl: number | null
  massG: number | null
  /** `amount` null: what the shelf says is left. */
  left: { name: string | null; basis: Basis; amount: number | null }
  cupCount: number | null
  fillPercent: number | null
  parts: DraftPart[]
  /** Parts of the job that this cup is not for. */
  leftOut: string[]
  coats: number | null
  /** Null: worked out from the shelf. */
  solidsPercent: number | null
  /** Null: the gun's usual figure. */
  transferPercent: number | null
  tipMm: number | null
  /** Null: as the formula says. */
  reducer: { id: string; percent: number } | null
  temperatureC: number | null
}

/** What stays the same from cup to cup. */
export type MixHabits = {
  /** Title in `usualMeasuring`; null: nobody has chosen, and what can be measured decides. */
  measure: string | null
  cupMl: number | null
  gun: string
  build: 'dry' | 'wet'
  micrometres: number | null
  hoseMl: number | null
  cupLossMl: number | null
  strainerMl: number | null
}

export const newDraft: MixDraft = {
  choice: 0,
  target: 'volume',
  volumeMl: null,
  massG: null,
  left: { name: null, basis: 'volume', amount: null },
  cupCount: 1,
  fillPercent: 75,
  parts: [],
  leftOut: [],
  coats: null,
  solidsPercent: null,
  transferPercent: null,
  tipMm: null,
  reducer: null,
  temperatureC: null,
}

export const newHabits: MixHabits = {
  measure: null,
  cupMl: null,
  gun: 'low-pressure',
  build: 'dry',
  micrometres: null,
  hoseMl: null,
  cupLossMl: null,
  strainerMl: null,
}

type Mixing = { drafts: Record<string, MixDraft>; habits: MixHabits }

const draftsKey = 'overground-mix-drafts'
const habitsKey = 'overground-mix-habits'

/** Kept by the page alone; what another version of it wrote, or somebody changed, is let go. */
function readKept<T>(storage: Storage | undefined, key: string, otherwise: T): T {
  try {
    return { ...otherwise, ...(JSON.parse(storage?.getItem(key) ?? '{}') as T) }
  } catch {
    return otherwise
  }
}

const here = typeof sessionStorage === 'undefined' ? undefined : sessionStorage
const always = typeof localStorage === 'undefined' ? undefined : localStorage

/** What was being worked out for each panel, job or formula: leaving the place, or loading it again, loses nothing. */
export const useMixing = create<Mixing>(() => ({
  drafts: readKept(here, draftsKey, {}),
  habits: readKept(always, habitsKey, newHabits),
}))

useMixing.subscribe(({ drafts, habits }) => {
  here?.setItem(draftsKey, JSON.stringify(drafts))
  always?.setItem(habitsKey, JSON.stringify(habits))
})

/** @param from the draft as it is shown, which a first change starts from */
export const changeDraft = (key: string, from: MixDraft, change: Partial<MixDraft>): void =>
  useMixing.setState(({ drafts }) => ({ drafts: { ...drafts, [key]: { ...(drafts[key] ?? from), ...change } } }))

export const changeHabits = (change: Partial<MixHabits>): void =>
  useMixing.setState(({ habits }) => ({ habits: { ...habits, ...change } }))

import { useEffect, useMemo } from 'react'
import { create } from 'zustand'
import type { ErrorCode, Failure, Output } from '../../shared-core/contract/calls.ts'
import { type AsSprayed, CustomerJob, PartToPaint } from '../../shared-core/records/customer-job.ts'
import { act, refreshRack, useAnswer } from './asking.ts'
import { useStore } from './store.ts'

/*
 * What is typed into a job shows at once and is stored when the typing rests, together with what it was typed over: what
 * another window or undo changed meanwhile is kept, in lists too. Until it is stored it is also
 * kept on this computer, so that a reload loses nothing.
 */

/** What a screen may change of a job. */
export type JobChange = Partial<Omit<CustomerJob, 'id' | 'code' | 'createdAt'>>
type Field = keyof JobChange
/**
 * `typed`: to be sent. A number: stored; shown until an answer of this revision or a later one is there. `from`: what was
 * stored when the typing began; absent where that is not known.
 */
type Held = { value: unknown; state: 'typed' | 'sending' | number; from?: unknown }
type HeldByField = Record<string, Held>

export const useJobEdits = create<{ held: Record<string, HeldByField>; failed: Record<string, boolean> }>(() => ({
  held: {},
  failed: {},
}))

const sprayedOf = 'sprayed '
/** How long the typing has to rest. */
const restMs = 500
const nothingHeld: HeldByField = {}
const timers = new Map<string, ReturnType<typeof setTimeout>>()
const underway = new Set<string>()

const keyOf = (jobId: string): string => `overground-job ${useStore.getState().rack?.folder ?? ''} ${jobId}`
const heldOf = (jobId: string): HeldByField => useJobEdits.getState().held[jobId] ?? nothingHeld

function setHeld(jobId: string, held: HeldByField): void {
  useJobEdits.setState((s) => ({ held: { ...s.held, [jobId]: held } }))
  const unsent = Object.entries(held).filter(([, each]) => typeof each.state !== 'number')
  if (unsent.length === 0) localStorage.removeItem(keyOf(jobId))
  else localStorage.setItem(keyOf(jobId), JSON.stringify(unsent.map(([field, each]) => asKept(field, each))))
}

type Kept = readonly [field: string, value: unknown, from?: unknown]
const asKept = (field: string, { value, from }: Held): Kept =>
  from === undefined ? [field, value] : [field, value, from]

/** The job as it was stored when it was last asked for. */
function storedJob(jobId: string): CustomerJob | undefined {
  const answers = Object.entries(useStore.getState().answers).filter(([key]) => key.startsWith('customerJobs.get '))
  const jobs = answers.flatMap(([, { value, revision }]) => {
    const job = (value as ShownJob | undefined)?.job
    return job?.id === jobId ? [{ job, revision }] : []
  })
  return jobs.toSorted((a, b) => b.revision - a.revision)[0]?.job
}

function hold(jobId: string, fields: readonly Kept[]): void {
  const held = heldOf(jobId)
  const stored = storedJob(jobId)
  const typed = fields.map(([field, value, began]): [string, Held] => {
    const before = held[field]
    // what is typed on was typed over what was stored at first
    const isGoingOn = before !== undefined && typeof before.state !== 'number'
    const from = began ?? (isGoingOn ? before.from : stored?.[field as Field])
    return [field, from === undefined ? { value, state: 'typed' } : { value, state: 'typed', from }]
  })
  setHeld(jobId, { ...held, ...Object.fromEntries(typed) })
}

/** Changes fields of a job; stored when the typing rests, or by `flushJob`. */
export function changeJob(jobId: string, change: JobChange): void {
  hold(jobId, Object.entries(change))
  clearTimeout(timers.get(jobId))
  timers.set(
    jobId,
    setTimeout(() => void flushJob(jobId), restMs),
  )
}

/** What was sprayed on one part. @param when `now`: a coat was counted, which must not be lost */
export function changeSprayed(
  jobId: string,
  partId: string,
  sprayed: AsSprayed | null,
  when: 'now' | 'rested' = 'rested',
): void {
  hold(jobId, [[`${sprayedOf}${partId}`, sprayed]])
  clearTimeout(timers.get(jobId))
  if (when === 'now') void flushJob(jobId)
  else
    timers.set(
      jobId,
      setTimeout(() => void flushJob(jobId), restMs),
    )
}

/** Whether a field can be stored as it stands: what is half typed waits. */
function isWhole(field: string, value: unknown): boolean {
  const shape = field.startsWith(sprayedOf) ? PartToPaint.shape.sprayed : CustomerJob.shape[field as Field]
  return shape.safeParse(value).success
}

/** Stores what waits; one job's changes go one after the other. @returns whether nothing waits any longer */
export async function flushJob(jobId: string): Promise<boolean> {
  clearTimeout(timers.get(jobId))
  if (underway.has(jobId)) return false // what was typed meanwhile goes when this one is back
  const waiting = Object.entries(heldOf(jobId)).filter(
    ([field, { value, state }]) => state === 'typed' && isWhole(field, value),
  )
  if (waiting.length === 0) return true
  underway.add(jobId)
  const sending = Object.fromEntries(
    waiting.map(([field, each]) => [field, { ...each, state: 'sending' } satisfies Held]),
  )
  setHeld(jobId, { ...heldOf(jobId), ...sending })
  const stored = await store(jobId, waiting)
  if (stored) await refreshRack()
  const revision = useStore.getState().rack?.revision ?? 0
  const after = Object.entries(heldOf(jobId)).map(([field, each]) =>
    // what was typed anew meanwhile is another object, and is sent next
    each === sending[field] ? [field, { ...each, state: stored ? revision : 'typed' }] : [field, each],
  )
  setHeld(jobId, Object.fromEntries(after))
  useJobEdits.setState((s) => ({ failed: { ...s.failed, [jobId]: !stored } }))
  underway.delete(jobId)
  return stored ? flushJob(jobId) : false
}

async function store(jobId: string, waiting: readonly (readonly [string, Held])[]): Promise<boolean> {
  const fields = waiting.filter(([field]) => !field.startsWith(sprayedOf))
  if (fields.length > 0) {
    const newest = await act('customerJobs.get', { key: jobId })
    if (!newest) return false
    const { createdAt: _, ...job } = newest.job
    const known = fields.filter(([field, { from }]) => from !== undefined && isWhole(field, from))
    const draft = withFields(job, Object.fromEntries(fields.map(([field, { value }]) => [field, value])))
    const from = withFields(job, Object.fromEntries(known.map(([field, each]) => [field, each.from])))
    if (!(await act('customerJobs.save', { draft, from }))) return false
  }
  for (const [field, { value }] of waiting) {
    if (!field.startsWith(sprayedOf)) continue
    const partId = field.slice(sprayedOf.length)
    const sprayed = value as AsSprayed | null
    if (!(await act('customerJobs.recordSprayed', { customerJobId: jobId, partId, sprayed }))) return false
  }
  return true
}

/** What was sprayed is recorded by itself, and left as it is here. */
function withFields(job: Omit<CustomerJob, 'createdAt'>, change: JobChange): Omit<CustomerJob, 'createdAt'> {
  const parts = change.parts?.map((part) => ({
    ...part,
    sprayed: job.parts.find(({ id }) => id === part.id)?.sprayed ?? null,
  }))
  return { ...job, ...change, ...(parts ? { parts } : {}) }
}

/** The job with everything that was typed into it. */
export function withHeld(job: CustomerJob, held: HeldByField, revision: number): CustomerJob {
  const shown = Object.entries(held).filter(([, { state }]) => typeof state !== 'number' || state > revision)
  const fields = Object.fromEntries(
    shown.filter(([field]) => !field.startsWith(sprayedOf)).map(([field, { value }]) => [field, value]),
  )
  const changed: CustomerJob = { ...job, ...fields }
  const parts = changed.parts.map((part) => {
    const own = shown.find(([field]) => field === `${sprayedOf}${part.id}`)
    // parts that were typed carry what was sprayed when the typing began: the job's own is newer
    const stored = job.parts.find(({ id }) => id === part.id)?.sprayed ?? null
    return { ...part, sprayed: own ? (own[1].value as AsSprayed | null) : stored }
  })
  return { ...changed, parts }
}

export type ShownJob = Output<'customerJobs.get'>

/** A job as it is stored and typed into. @param key id or code; null asks nothing */
export function useJob(key: string | null): {
  shown: ShownJob | undefined
  error: Failure<ErrorCode<'customerJobs.get'>> | null
} {
  const input = key === null ? null : { key }
  const { value, error } = useAnswer('customerJobs.get', input)
  const revision = useStore((s) => s.answers[`customerJobs.get ${JSON.stringify(input)}`]?.revision ?? 0)
  const held = useJobEdits((s) => (value ? s.held[value.job.id] : undefined)) ?? nothingHeld
  const shown = useMemo(
    () => (value ? { ...value, job: withHeld(value.job, held, revision) } : undefined),
    [value, held, revision],
  )
  return { shown, error }
}

/** Takes up what a reload left unsent, and sends what waits when a field, the job or the page is left. */
export function useKeptEdits(jobId: string): void {
  useEffect(() => {
    const kept = localStorage.getItem(keyOf(jobId))
    if (kept !== null && heldOf(jobId) === nothingHeld) hold(jobId, JSON.parse(kept) as Kept[])
    void flushJob(jobId)
    const leave = () => void flushJob(jobId)
    addEventListener('pagehide', leave)
    addEventListener('focusout', leave)
    return () => {
      removeEventListener('pagehide', leave)
      removeEventListener('focusout', leave)
      leave()
    }
  }, [jobId])
}

/** In words: whether everything that was typed is stored. */
export function useSavedWord(jobId: string): 'Saved' | 'Saving…' | 'Not saved' | 'Not complete yet, so not saved' {
  const held = useJobEdits((s) => s.held[jobId]) ?? nothingHeld
  const failed = useJobEdits((s) => s.failed[jobId] ?? false)
  const unsent = Object.entries(held).filter(([, { state }]) => typeof state !== 'number')
  if (unsent.length === 0) return 'Saved'
  if (failed) return 'Not saved'
  return unsent.every(([field, { value }]) => !isWhole(field, value)) ? 'Not complete yet, so not saved' : 'Saving…'
}

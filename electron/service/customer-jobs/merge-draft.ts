import { isDeepStrictEqual } from 'node:util'
import type { CustomerJob, CustomerJobDraft, JobDecision } from '../../../shared-core/records/customer-job.ts'

/**
 * What a draft changes of a job, on top of the job as it is kept by now: what stands in the draft as it was read is left
 * to whoever changed it since. In lists each entry goes by itself, and so does each field of an entry.
 * @param from  the job as the draft's writer read it
 */
export function mergeDraft(kept: CustomerJob, draft: CustomerJobDraft, from: CustomerJobDraft): CustomerJobDraft {
  const { createdAt: _, ...job } = kept
  const byId = ({ id }: { id: string }): string => id
  return {
    ...mergeFields<CustomerJobDraft>(job, draft, from),
    candidates: mergeLists(kept.candidates, draft.candidates, from.candidates, byId),
    parts: mergeLists(kept.parts, draft.parts, from.parts, byId),
    checks: mergeLists(kept.checks, draft.checks, from.checks, byId),
    decisions: mergeLists(kept.decisions, draft.decisions, from.decisions, nameOfDecision).toSorted((a, b) =>
      a.at < b.at ? -1 : a.at > b.at ? 1 : 0,
    ),
  }
}

/** They have no id, and are never altered. */
const nameOfDecision = ({ at, who, what, words }: JobDecision): string => JSON.stringify([at, who, what, words])

function mergeFields<T extends object>(kept: T, draft: T, from: T): T {
  const changed = (Object.keys(draft) as (keyof T)[]).filter((field) => !isDeepStrictEqual(draft[field], from[field]))
  return { ...kept, ...Object.fromEntries(changed.map((field) => [field, draft[field]])) }
}

/** The draft's order; what others added stands last, and what they took away stays away unless it was changed here. */
function mergeLists<T extends object>(
  kept: readonly T[],
  draft: readonly T[],
  from: readonly T[],
  nameOf: (entry: T) => string,
): T[] {
  const keptByName = new Map(kept.map((entry) => [nameOf(entry), entry]))
  const fromByName = new Map(from.map((entry) => [nameOf(entry), entry]))
  const inDraft = new Set(draft.map(nameOf))
  const mine = draft.flatMap((entry): T[] => {
    const [now, before] = [keptByName.get(nameOf(entry)), fromByName.get(nameOf(entry))]
    if (now && before) return [mergeFields(now, entry, before)]
    return !now && before && isDeepStrictEqual(entry, before) ? [] : [entry]
  })
  return [...mine, ...kept.filter((entry) => !inDraft.has(nameOf(entry)) && !fromByName.has(nameOf(entry)))]
}

import type { FactGroup, FactPair, HistoryValue } from '../../../../shared-core/records/history.ts'

/** Facts of a thing in groups; the same key before and after is the same group or fact. */
export type Fact = { key: string; name: string; value: HistoryValue | null }
export type Group = { key: string; name: string; facts: Fact[] }

export const text = (value: string | null | undefined): HistoryValue | null =>
  value === null || value === undefined || value.trim() === '' ? null : { kind: 'text', text: value }
export const names = (all: readonly string[]): HistoryValue | null =>
  all.length === 0 ? null : { kind: 'names', names: [...all] }
export const yes = (value: boolean): HistoryValue => ({ kind: 'yes', yes: value })
export const day = (value: string | null): HistoryValue | null => (value === null ? null : { kind: 'day', day: value })
export const moment = (at: string | null): HistoryValue | null => (at === null ? null : { kind: 'moment', at })
export const number = (value: number | null, digits: number, unit: string): HistoryValue | null =>
  value === null ? null : { kind: 'number', value, digits, unit }

type Measure = Extract<HistoryValue, { kind: 'quantity' }>['measure']
export const quantity = (value: number | null, measure: Measure): HistoryValue | null =>
  value === null ? null : { kind: 'quantity', value, measure }

export const isSame = (a: HistoryValue | null, b: HistoryValue | null): boolean =>
  JSON.stringify(a) === JSON.stringify(b)

/**
 * Before and after side by side, in the order of what is there after, and what went behind its neighbours. Facts that are
 * nothing on both sides are left out.
 */
export function compareFacts(before: readonly Group[], after: readonly Group[]): FactGroup[] {
  return merged(before, after).map(([was, is]) => {
    const facts = merged(was?.facts ?? [], is?.facts ?? []).flatMap(([a, b]): FactPair[] => {
      const pair = { name: b?.name ?? a?.name ?? '', before: a?.value ?? null, after: b?.value ?? null }
      return pair.before === null && pair.after === null ? [] : [pair]
    })
    const differs = facts.some((pair) => !isSame(pair.before, pair.after))
    const did = !was ? 'added' : !is ? 'removed' : differs ? 'changed' : 'kept'
    return { name: is?.name ?? was?.name ?? '', did, facts }
  })
}

/** Only what differs. */
export function differencesOf(groups: readonly FactGroup[]): FactGroup[] {
  return groups.flatMap((group) => {
    const facts = group.facts.filter(({ before, after }) => !isSame(before, after))
    return facts.length === 0 && group.did === 'kept' ? [] : [{ ...group, facts }]
  })
}

function merged<T extends { key: string }>(
  before: readonly T[],
  after: readonly T[],
): Array<[T | undefined, T | undefined]> {
  const pairs: Array<[T | undefined, T | undefined]> = after.map((is) => [before.find(({ key }) => key === is.key), is])
  for (const [i, was] of before.entries()) {
    if (after.some(({ key }) => key === was.key)) continue
    const previous = before[i - 1]
    const at = previous ? pairs.findIndex(([a, b]) => (a ?? b)?.key === previous.key) + 1 : 0
    pairs.splice(at, 0, [was, undefined])
  }
  return pairs
}

import type { Kysely } from 'kysely'
import type { FactGroup, FactPair, PanelStood } from '../../../../shared-core/records/history.ts'
import { asStood, panelRowsNow } from '../../history/past/stood.ts'
import { comparePanels } from '../../history/tell/panel-facts.ts'
import { builder } from '../../opening/connection.ts'
import type { Tables } from '../../tables.ts'
import { openSuspicious } from '../proof/prove-records.ts'

/** What of a panel is held against what. */
export type Opposite = { panelId: string; ours: string | null }

/**
 * A panel as it hangs here beside the one there, field by field. What differs, and every colour, so that both are seen.
 * @param records  a proved copy of the other rack's records
 */
export async function sideBySide(
  db: Kysely<Tables>,
  records: string,
  { panelId, ours }: Opposite,
): Promise<FactGroup[]> {
  const raw = openSuspicious(records)
  try {
    const there = asStood(await panelRowsNow(builder(raw), panelId))
    const here = ours === null ? null : asStood(await panelRowsNow(db, ours))
    const groups = comparePanels(here, there && here ? likened(there, here) : there)
    return here && there ? coloursFirst(groups) : groups
  } finally {
    raw.close()
  }
}

/** Colours that differ stand above all, for they are what a painter decides by. */
function coloursFirst(groups: readonly FactGroup[]): FactGroup[] {
  const isOther = ({ before, after }: FactPair) =>
    (after ?? before)?.kind === 'colour' && JSON.stringify(before) !== JSON.stringify(after)
  const facts = groups.flatMap(({ name, facts: all }) =>
    all.filter(isOther).map((fact) => ({ ...fact, name: `${name}: ${fact.name}` })),
  )
  const rest = groups.map((group) => ({ ...group, facts: group.facts.filter((fact) => !isOther(fact)) }))
  return [...(facts.length > 0 ? [{ name: 'Colours', did: 'changed' as const, facts }] : []), ...rest.flatMap(telling)]
}

function telling(group: FactGroup): FactGroup[] {
  if (group.did === 'added' || group.did === 'removed') return [group]
  const facts = group.facts.filter(
    ({ before, after }) => (before ?? after)?.kind === 'colour' || JSON.stringify(before) !== JSON.stringify(after),
  )
  return facts.length === 0 ? [] : [{ ...group, facts }]
}

/** Layers, steps, readings and photos of theirs under the ids of those here that they stand for, so that they come side by side. */
function likened(there: PanelStood, here: PanelStood): PanelStood {
  const layers = matched(there.panel.layers, here.panel.layers, ({ kind }) => kind)
  const steps = matched(there.panel.steps, here.panel.steps, ({ coats }) => String(coats))
  const stepHere = new Map(there.panel.steps.map(({ id }, i) => [id, steps[i]?.id ?? id]))
  const readings = there.readings.map((reading) => ({
    ...reading,
    stepId: reading.stepId === null ? null : (stepHere.get(reading.stepId) ?? reading.stepId),
  }))
  return {
    ...there,
    panel: { ...there.panel, layers, steps },
    readings: matched(readings, here.readings, ({ stepId, view, stage }) => `${stepId} ${view} ${stage}`),
    photos: matched(there.photos, here.photos, ({ sha256 }) => sha256),
  }
}

/** By id; then, of what is left, the next that is of the same kind. */
function matched<T extends { id: string | null }>(
  there: readonly T[],
  here: readonly T[],
  kindOf: (one: T) => string,
): T[] {
  const ids = new Set(there.map(({ id }) => id))
  const free = here.filter(({ id }) => !ids.has(id))
  const known = new Set(here.map(({ id }) => id))
  return there.map((one) => {
    if (known.has(one.id)) return one
    const at = free.findIndex((other) => kindOf(other) === kindOf(one))
    const [other] = at < 0 ? [] : free.splice(at, 1)
    return other ? { ...one, id: other.id } : one
  })
}

import type { Row } from '../../history/rows.ts'
import { alter, comeIn, keyOf, type Merging } from './merging.ts'
import { needReference } from './references.ts'
import { text } from './sides.ts'
import { need } from './things.ts'

/** Which of their panels, steps and cups are here, and under which id. */
export type Here = { panel: (id: string) => string | null; step: (id: string) => string | null }

type Json = null | boolean | number | string | Json[] | { [name: string]: Json }

/**
 * JSON that names rows: each name is ours from then on. What a list says of a panel that did not come in is left out of it.
 */
function translated(m: Merging, json: string, here: Here): string {
  return JSON.stringify(walk(m, JSON.parse(json) as Json, here) ?? null)
}

function walk(m: Merging, value: Json, here: Here): Json | undefined {
  if (Array.isArray(value)) return value.flatMap((each) => walk(m, each, here) ?? [])
  if (value === null || typeof value !== 'object') return value
  const said: { [name: string]: Json } = {}
  for (const [name, each] of Object.entries(value)) {
    if (typeof each !== 'string') {
      const inner = walk(m, each, here)
      if (inner !== undefined) said[name] = inner
      continue
    }
    const id = idIn(m, name, each, value, here)
    // a check panel, or a panel that was considered, cannot be named any more
    if (id === null && (name === 'panelId' || name === 'stepId') && 'note' in value) return undefined
    said[name] = id
  }
  return said
}

function idIn(m: Merging, name: string, id: string, within: { [name: string]: Json }, here: Here): string | null {
  if (name === 'panelId') return here.panel(id)
  if (name === 'stepId') return here.step(id)
  if (name !== 'id' || !('kind' in within || 'tipMm' in within)) return id
  const table = 'tipMm' in within ? 'gun_setup' : 'material'
  return m.theirs.get(table, id) ? need(m, table, id) : id
}

const listed = (m: Merging, json: Row[string] | undefined, here: Here) =>
  typeof json === 'string' ? translated(m, json, here) : null

/** A customer's job; @returns its id here */
export function bringJob(m: Merging, row: Row, here: Here): string {
  const key = keyOf('customer_job', text(row.id))
  const known = m.ids.get(key)
  if (known !== undefined) return known
  const itself = m.ours.get('customer_job', text(row.id))
  const same =
    itself ??
    m.ours
      .all(
        'select * from customer_job where code = ? and title = ? and customer = ?',
        text(row.code),
        text(row.title),
        text(row.customer),
      )
      .find(({ created_at }) => created_at === row.created_at)
  const id = same ? text(same.id) : text(row.id)
  m.ids.set(key, id)
  if (same && (!itself || m.verdict('customer_job', id) !== 'there')) return id
  const said = {
    ...row,
    reference_id: needReference(m, row.reference_id, here.step),
    candidates: listed(m, row.candidates, here),
    formula: listed(m, row.formula, here),
    parts: listed(m, row.parts, here),
    checks: listed(m, row.checks, here),
    decisions: listed(m, row.decisions, here),
  }
  if (itself) alter(m, 'customer_job', id, { ...said, code: itself.code ?? null })
  else comeIn(m, 'customer_job', { ...said, code: m.codes.take('customer_job', text(row.code)) })
  return id
}

/** A cup and what was poured into it. What it took off a shelf that is here stays as this shelf counts it. */
export function bringCup(m: Merging, row: Row, here: Here): void {
  const id = text(row.id)
  const old = m.ours.get('cup', id)
  const jobRow = row.customer_job_id === null ? undefined : m.theirs.get('customer_job', text(row.customer_job_id))
  if (!old) {
    comeIn(m, 'cup', {
      ...row,
      code: m.codes.take('cup', text(row.code)),
      customer_job_id: jobRow && jobRow.deleted_at === null ? bringJob(m, jobRow, here) : null,
      panel_id: row.panel_id === null ? null : here.panel(text(row.panel_id)),
      mixture: listed(m, row.mixture, here),
    })
    for (const line of m.theirs.all('select * from cup_line where cup_id = ? order by position, id', id)) {
      if (m.ours.get('cup_line', text(line.id))) continue
      comeIn(m, 'cup_line', { ...line, material_id: need(m, 'material', line.material_id) })
    }
    return
  }
  if (m.verdict('cup', id) === 'there') {
    const { status, mixed_at, mixed_by, hardener_at, stand_until, pot_life_until, notes } = row
    alter(m, 'cup', id, { status, mixed_at, mixed_by, hardener_at, stand_until, pot_life_until, notes } as Row)
  }
  for (const line of m.theirs.all('select * from cup_line where cup_id = ?', id)) {
    const { poured, accepted, batch } = line
    if (m.ours.get('cup_line', text(line.id))?.cup_id === id && m.verdict('cup_line', text(line.id)) === 'there')
      alter(m, 'cup_line', text(line.id), { poured, accepted, batch } as Row)
  }
}

export function bringSearch(m: Merging, row: Row): boolean {
  const here = m.ours.get('saved_search', text(row.id))
  const [named] = m.ours.all('select * from saved_search where name = ?', text(row.name))
  const isSame = named && ['filter', 'sort', 'grouping'].every((name) => named[name] === row[name])
  if (here || isSame) return false
  comeIn(m, 'saved_search', { ...row, name: m.names.free('saved_search', text(row.name)) })
  return true
}

/** Which material took another's place there, where both are here. */
export function bringReplacement(m: Merging, row: Row, here: Here): void {
  const [old, by] = [row.material_id, row.by_material_id].map((id) => m.ids.get(keyOf('material', text(id))))
  if (old === undefined || by === undefined || m.ours.get('replacement', text(row.id))) return
  if (![old, by].every((id) => m.coming.has(keyOf('material', id)) || m.ours.get('material', id))) return
  const panels = (JSON.parse(text(row.panel_ids)) as string[]).flatMap((id) => here.panel(id) ?? [])
  const jobs = (JSON.parse(text(row.customer_job_ids)) as string[]).flatMap(
    (id) => m.ids.get(keyOf('customer_job', id)) ?? [],
  )
  comeIn(m, 'replacement', {
    ...row,
    material_id: old,
    by_material_id: by,
    panel_ids: JSON.stringify(panels),
    customer_job_ids: JSON.stringify(jobs),
  })
}

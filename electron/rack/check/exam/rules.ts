import type Database from 'better-sqlite3'

/** Something that the schema cannot say and that no change of ours would leave behind. */
export type Breach = {
  rule: 'mixture-tree' | 'step-order' | 'layer-order' | 'area-order' | 'code-twice' | 'rack-info' | 'own-sheet'
  /** The panel concerned, by its code; null where it is none. */
  panelCode: string | null
  /** What it is about: an id, or a word. */
  id: string
}

type Named = { code: string | null; id: string }

const askRule = (raw: Database.Database, rule: Breach['rule'], statement: string): Breach[] =>
  (raw.prepare(statement).all() as Named[]).map(({ code, id }) => ({ rule, panelCode: code, id }))

/** Positions of each panel's rows that do not count from 0 on. */
const outOfOrder = (table: string) => `select panel.code as code, panel.id as id
  from (select panel_id from ${table} group by panel_id
    having min(position) <> 0 or max(position) <> count(*) - 1 or count(distinct position) <> count(*)) as wrong
  join panel on panel.id = wrong.panel_id limit 200`

export function breaches(raw: Database.Database): Breach[] {
  return [
    ...mixtureTrees(raw),
    ...askRule(raw, 'step-order', outOfOrder('step')),
    ...askRule(raw, 'layer-order', outOfOrder('layer')),
    ...askRule(
      raw,
      'area-order',
      `select null as code, photo_id as id from area where position is not null group by photo_id
        having min(position) <> 0 or max(position) <> count(*) - 1 or count(distinct position) <> count(*) limit 200`,
    ),
    // a plus keeps the index out of it, which may be what is wrong
    ...askRule(
      raw,
      'code-twice',
      `select +code as code, min(id) as id from panel where +deleted_at is null
        group by +code collate nocase having count(*) > 1 limit 200`,
    ),
    ...askRule(raw, 'own-sheet', 'select null as code, id from photo where flat_photo_id = id limit 200'),
    ...askRule(raw, 'rack-info', "select null as code, 'rack_info' as id where (select count(*) from rack_info) <> 1"),
  ]
}

type Part = { mixture_id: string; root_id: string; child_id: string | null }

/**
 * A mixture is a tree that hangs from its root: every mixture names the root it is reached from, once, and so does
 * every part. A loop would never end when it is read.
 */
function mixtureTrees(raw: Database.Database): Breach[] {
  const rootOf = new Map<string, string>()
  for (const { id, root_id } of raw.prepare('select id, root_id from mixture').iterate() as Iterable<{
    id: string
    root_id: string
  }>)
    rootOf.set(id, root_id)
  const children = new Map<string, string[]>()
  const wrong = new Set<string>()
  for (const part of raw
    .prepare('select mixture_id, root_id, child_id from mixture_part')
    .iterate() as Iterable<Part>) {
    if (rootOf.get(part.mixture_id) !== part.root_id) wrong.add(part.root_id)
    if (part.child_id === null) continue
    if (rootOf.get(part.child_id) !== part.root_id) wrong.add(part.root_id)
    const there = children.get(part.mixture_id)
    if (there) there.push(part.child_id)
    else children.set(part.mixture_id, [part.child_id])
  }
  const reached = new Set<string>()
  for (const [id, root] of rootOf) if (id === root) walk(id, children, reached, wrong)
  for (const [id, root] of rootOf) if (!reached.has(id)) wrong.add(root)
  const panel = raw.prepare(
    'select panel.code from layer join panel on panel.id = layer.panel_id where layer.mixture_id = ? limit 1',
  )
  return [...wrong].slice(0, 200).map((id) => ({
    rule: 'mixture-tree',
    id,
    panelCode: (panel.pluck().get(id) as string | undefined) ?? null,
  }))
}

function walk(
  root: string,
  children: ReadonlyMap<string, readonly string[]>,
  reached: Set<string>,
  wrong: Set<string>,
): void {
  const waiting = [root]
  const own = new Set<string>()
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    if (own.has(id)) wrong.add(root)
    else waiting.push(...(children.get(id) ?? []))
    own.add(id)
    reached.add(id)
  }
}

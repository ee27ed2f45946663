import type Database from 'better-sqlite3'
import { mendLabels } from '../mend/labels.ts'

/** Two changes of a row that follow upon each other and do not agree on how it stood between them. */
export type ChainBreach = { table: string; id: string; between: [earlier: number, later: number] }

const mends = new Set<string>(Object.values(mendLabels))

type Image = {
  table_name: string
  row_id: string
  before: string | null
  after: string | null
  change: number
  label: string
}

/**
 * Follows every row through the changes that hold or could be done again: each must find it as the one before left it. A byte that
 * turned in an older image harms nothing at present, but an undo or a panel from the past would bring it back.
 */
export function chainBreaches(raw: Database.Database, most: number): ChainBreach[] {
  const images = raw.prepare(`select table_name, row_id, before, after, change.seq as change, label
    from change_row join change on change.id = change_row.change_id
    where change.state <> 'abandoned'
    order by table_name, row_id, change.seq, change_row.seq`)
  const found: ChainBreach[] = []
  let last: Image | null = null
  for (const image of images.iterate() as Iterable<Image>) {
    if (last && last.table_name === image.table_name && last.row_id === image.row_id) {
      if (!mends.has(image.label) && !agree(last.after, image.before))
        found.push({ table: image.table_name, id: image.row_id, between: [last.change, image.change] })
      if (found.length >= most) break
    }
    last = image
  }
  return found
}

/** What an image of before a migration does not have is not compared. */
function agree(earlier: string | null, later: string | null): boolean {
  if (earlier === later) return true
  if (earlier === null || later === null) return false
  try {
    const [was, is] = [JSON.parse(earlier) as Record<string, unknown>, JSON.parse(later) as Record<string, unknown>]
    return Object.keys(was).every((name) => name in is && was[name] === is[name])
  } catch {
    return false
  }
}

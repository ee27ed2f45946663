import type { Pages } from './pages.ts'
import { type Cell, isTreePage, kinds, readTreePage, Senseless } from './records.ts'
import { fits, type TableForm } from './tables-of.ts'

export type TableRows = { form: TableForm; cells: Cell[] }
export type Reading = { unreadablePages: number; senselessRows: number }

/**
 * Gives every row that can be read, table by table: first by the trees as the schema names their roots, then from pages that
 * no tree leads to any more because a page above them is damaged. Such pages say by their form whose they are. Pages on the
 * list of free ones are left out: what they hold was deleted. Where that list cannot be read, pages without a tree are only
 * looked at when there is nothing else.
 */
export function* readTables(pages: Pages, forms: readonly TableForm[], reading: Reading): Generator<TableRows> {
  const seen = new Set<number>()
  const roots = rootsOf(pages, seen, reading)
  const wanted = new Set(forms.map(({ name }) => name))
  for (const form of forms) {
    const root = roots.get(form.name)
    if (root !== undefined) for (const cells of readTree(pages, root, seen, reading)) yield { form, cells }
  }
  for (const [name, root] of roots) if (!wanted.has(name)) drain(pages, root, seen)
  if (!pages.freeIsWhole && roots.size > 0) return
  for (let number = 2; number <= pages.count; number++) {
    if (seen.has(number) || pages.free.has(number)) continue
    const kind = pages.page(number)?.[0] ?? 0
    if (kind !== kinds.tableLeaf && kind !== kinds.indexLeaf && kind !== kinds.indexInterior) continue
    const cells = attempt(() => readTreePage(pages, number, true).cells)
    if (!cells || cells.length === 0) continue
    const form = forms.find((one) => isOf(one, kind, cells))
    if (form) yield { form, cells }
  }
}

/** Indexes look like tables without rowids; of those only the history's own rows are told apart for certain. */
const isOf = (form: TableForm, kind: number, cells: readonly Cell[]): boolean =>
  form.hasRowid === (kind === kinds.tableLeaf) &&
  (form.hasRowid || form.name === 'change_row') &&
  isLike(form, cells) &&
  cells.every(({ values }) => fits(form, values))

/** Forms with few columns fit much: these ask for as many values as they have. */
const isLike = (form: TableForm, cells: readonly Cell[]): boolean =>
  cells.every(({ values }) => values.length === form.columns.length || values.length > 8)

function* readTree(pages: Pages, root: number, seen: Set<number>, reading: Reading): Generator<Cell[]> {
  const waiting = [root]
  for (let number = waiting.pop(); number !== undefined; number = waiting.pop()) {
    if (seen.has(number)) continue
    seen.add(number)
    try {
      const { children, cells, senseless } = readTreePage(pages, number, true)
      if (children.length > 0 && senseless > 0) reading.unreadablePages++
      else reading.senselessRows += senseless
      waiting.push(...children.toReversed())
      if (cells.length > 0) yield cells
    } catch (error) {
      if (!(error instanceof Senseless || error instanceof RangeError)) throw error
      reading.unreadablePages++
    }
  }
}

/** Marks the pages of a tree whose rows are not wanted. */
function drain(pages: Pages, root: number, seen: Set<number>): void {
  const waiting = [root]
  for (let number = waiting.pop(); number !== undefined; number = waiting.pop()) {
    if (seen.has(number)) continue
    const current = number
    const page = attempt(() => readTreePage(pages, current, false))
    if (!page || !isTreePage(page.kind)) continue
    seen.add(number)
    waiting.push(...page.children)
  }
}

/** Where each table and index begins, by its name, as far as the schema can be read. */
function rootsOf(pages: Pages, seen: Set<number>, reading: Reading): Map<string, number> {
  const roots = new Map<string, number>()
  for (const cells of readTree(pages, 1, seen, reading))
    for (const { values } of cells) {
      const [, name, , root] = values
      if (typeof name === 'string' && typeof root === 'number' && root > 1) roots.set(name, root)
    }
  return roots
}

function attempt<T>(work: () => T): T | null {
  try {
    return work()
  } catch (error) {
    if (error instanceof Senseless || error instanceof RangeError || error instanceof TypeError) return null
    throw error
  }
}

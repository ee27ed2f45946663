import { create } from 'zustand'
import { allOnTable, targetOf } from './match-address.ts'
import { go, type Route } from './router.ts'
import { useStore } from './store.ts'

/** As many as number keys reach without looking, and as lie side by side. */
export const mostOnTable = 6

type Table = {
  /** The rack that all of this belongs to. */
  folder: string | null
  /** What lies on the table, by its piece of an address. */
  ids: readonly string[]
  /** What was matched last: coming back leads there. */
  last: string | null
}

const emptyTable: Table = { folder: null, ids: [], last: null }
const keptKey = 'overground-match-table'

function readKept(): Table {
  const kept = typeof sessionStorage === 'undefined' ? null : sessionStorage.getItem(keptKey)
  return kept === null ? emptyTable : { ...emptyTable, ...(JSON.parse(kept) as Partial<Table>) }
}

/** References that lie on the table together; kept while other places are visited and when the page is loaded again. */
export const useTable = create<Table>(() => readKept())
useTable.subscribe((table) => sessionStorage.setItem(keptKey, JSON.stringify(table)))

export const clearTable = (): void => useTable.setState(emptyTable, true)

/** Another rack has other references. */
function ofThisRack(): Table {
  const folder = useStore.getState().rack?.folder ?? null
  const table = useTable.getState()
  return table.folder === folder ? table : { ...emptyTable, folder }
}

/** What lies on the table of this rack. */
export const tableNow = (): readonly string[] => ofThisRack().ids

/**
 * Lays on the table what is matched now. Another point of the same photo takes the place of the one before it; where the
 * table is full, the one that lies longest gives way.
 * @param given  what lies on the table by the address; undefined: what lay there
 */
export function layOnTable(id: string, given: readonly string[] | undefined): void {
  const before = ofThisRack()
  let ids = [...new Set(given ?? before.ids)].slice(0, mostOnTable)
  const target = targetOf(id)
  if (target.kind !== 'photo' && target.kind !== 'all' && !ids.includes(id)) {
    const same = ids.findIndex((other) => {
      const it = targetOf(other)
      return target.kind === 'point' && it.kind === 'point' && it.photoId === target.photoId
    })
    if (same >= 0) ids = ids.with(same, id)
    else ids = [...ids.slice(ids.length >= mostOnTable ? 1 : 0), id]
  }
  useTable.setState({ folder: before.folder, ids, last: id })
}

/** Where one was in Match: from another place one comes back to it. */
export function lastMatch(): Route {
  const { ids, last } = ofThisRack()
  return { at: 'match', referenceId: last, ...(last !== null && ids.length > 1 ? { table: ids } : {}) }
}

/** Shows another of those on the table, at once. */
export function chooseOnTable(id: string): void {
  go({ at: 'match', referenceId: id, table: tableNow() })
}

/** Off the table only: nothing in the rack changes. */
export function takeOffTable(id: string): void {
  const { ids, last } = ofThisRack()
  const at = ids.indexOf(id)
  const left = ids.filter((other) => other !== id)
  const shown =
    last === id || (last === allOnTable && left.length < 2)
      ? (left[Math.min(Math.max(at, 0), left.length - 1)] ?? null)
      : last
  useTable.setState({ ids: left, last: shown })
  go({ at: 'match', referenceId: shown, ...(shown === null ? {} : { table: left }) }, 'replace')
}

/** One provisional colour was kept: it stays where it lay. */
export function replaceOnTable(id: string, by: string): void {
  const ids = ofThisRack().ids.map((other) => (other === id ? by : other))
  useTable.setState({ ids, last: by })
  go({ at: 'match', referenceId: by, table: ids }, 'replace')
}

/** It is no longer in the rack. */
export function forgetOnTable(id: string): void {
  useTable.setState(({ ids, last }) => ({ ids: ids.filter((other) => other !== id), last: last === id ? null : last }))
}

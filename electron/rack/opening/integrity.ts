import type Database from 'better-sqlite3'

/** What SQLite finds broken: in words for the painter, and as it says it for the log. */
export type Breaks = { words: string; told: string }

const mostTold = 100

/** Lets SQLite look a database through. @returns null when it holds together */
export function breaksIn(raw: Database.Database, check: 'quick_check' | 'integrity_check'): Breaks | null {
  if (raw.pragma(`${check}(1)`, { simple: true }) === 'ok') return null
  const rows = raw.pragma(`${check}(${mostTold})`) as Record<string, string>[]
  // whatever is wrong with pages is one answer of many lines, under a heading
  const found = rows
    .flatMap((row) => String(row[check]).split('\n'))
    .filter((line) => line !== '' && !line.startsWith('***'))
  const count = Math.max(1, found.length)
  const places = count === 1 ? 'one place' : count >= mostTold ? `at least ${mostTold} places` : `${count} places`
  return { words: `its database does not hold together in ${places}`, told: found.join('; ') }
}

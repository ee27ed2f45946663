import { createHash } from 'node:crypto'
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join, relative } from 'node:path'

/** Every file and folder in a folder with its time, size and content: what is equal was not touched. */
export function everything(folder: string): Record<string, string> {
  const entries = readdirSync(folder, { recursive: true, withFileTypes: true })
  const paths = [folder, ...entries.map((entry) => join(entry.parentPath, entry.name))]
  return Object.fromEntries(
    paths.toSorted().map((path) => {
      const facts = statSync(path, { bigint: true })
      const hash = facts.isFile() ? createHash('sha256').update(readFileSync(path)).digest('hex') : ''
      return [relative(folder, path), `${facts.mode} ${facts.mtimeNs} ${facts.ctimeNs} ${facts.size} ${hash}`]
    }),
  )
}

import { readFileSync } from 'node:fs'
import { cpus, release, totalmem } from 'node:os'
import { join } from 'node:path'
import { applicationFolder, knownWords, scrubber } from './scrub.ts'
import { lastEntries } from './trouble-log.ts'

const entriesTold = 12
const tail = 20_000

/**
 * What somebody who is to help needs to know, to be copied by the painter: versions, system, the last entries of the
 * logs. It is scrubbed once more: an entry may be older than what is known now.
 * @param host  which host this is
 */
export function gatherDetails(appFolder: string, host: 'window' | 'browser'): string {
  const versions = process.versions as Record<string, string | undefined>
  const engine = versions.electron ? `, Electron ${versions.electron}, Chromium ${versions.chrome ?? ''}` : ''
  const entries = lastEntries(appFolder, entriesTold).join('\n').slice(-tail)
  const told = scrubber(knownWords(appFolder))(entries === '' ? 'Nothing was written to the logs.' : entries)
  return [
    `Overground ${ownVersion()} in a ${host}`,
    `Node ${process.versions.node}${engine}`,
    `${process.platform} ${process.arch}, system ${release().replace(/[^\w.-]/g, '')}`,
    `${cpus().length} processors, ${(totalmem() / 1024 ** 3).toFixed(1)} GB of memory`,
    `Copied ${new Date().toISOString()}`,
    '',
    'Last entries of the logs, without names, folders and what was typed:',
    told,
    '',
  ].join('\n')
}

export function ownVersion(): string {
  try {
    return (JSON.parse(readFileSync(join(applicationFolder, 'package.json'), 'utf8')) as { version: string }).version
  } catch {
    return 'of unknown version' // said where everything else may be broken too
  }
}

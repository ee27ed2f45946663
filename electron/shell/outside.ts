import { mkdir } from 'node:fs/promises'
import { extname } from 'node:path'
import { shell } from 'electron'
import type { Reply } from '../../shared-core/contract/host.ts'
import { noWebLink, webLink } from '../../shared-core/records/web-link.ts'
import { type Call, locateDocument } from '../service/link/located.ts'
import { logsFolder } from '../service/link/trouble-log.ts'

/** What is shown by other programs of the system. Nothing that could be run is ever handed to it. */

const shown: ReadonlySet<string> = new Set(['.pdf', '.jpg', '.png'])

/** Opens a copy of a kept data sheet with the system's reader; the service told by its first bytes what it is. */
export async function viewDocument(call: Call, documentId: string): Promise<Reply<object>> {
  const found = await locateDocument(call, documentId)
  if (!found.ok) return found
  const { path, fileName } = found.value
  if (!shown.has(extname(fileName)) || extname(path) !== extname(fileName)) throw new Error('not to be shown')
  const trouble = await shell.openPath(path)
  if (trouble === '') return { ok: true, value: {} }
  return {
    ok: false,
    error: {
      code: 'document/no-reader',
      message: `The system has nothing to show ${fileName} with (${trouble}).`,
      remedy: 'Install a reader for it, then open it again.',
    },
  }
}

/** Only http and https: other schemes start programs. */
export async function openLink(link: string): Promise<Reply<object>> {
  const safe = webLink(link)
  if (safe === null || !/^https?:$/.test(URL.parse(safe)?.protocol ?? '')) return { ok: false, error: noWebLink }
  await shell.openExternal(safe)
  return { ok: true, value: {} }
}

/** Shows the folder of the logs: the one folder, whatever a page asks. */
export async function openLogs(home: string): Promise<Reply<object>> {
  const folder = logsFolder(home)
  await mkdir(folder, { recursive: true })
  const trouble = await shell.openPath(folder)
  if (trouble === '') return { ok: true, value: {} }
  return {
    ok: false,
    error: {
      code: 'logs/not-shown',
      message: `The system did not show the folder (${trouble}).`,
      remedy: `Open it by hand: ${folder}`,
    },
  }
}

import { copyFile } from 'node:fs/promises'
import { basename, extname, join } from 'node:path'
import { app, type BrowserWindow, dialog } from 'electron'
import type { Reply } from '../../shared-core/contract/host.ts'
import { type Call, locateDocument } from '../service/link/located.ts'

/** @returns the folder chosen, or null when the dialog was closed */
export async function pickFolder(window: BrowserWindow, title: string): Promise<string | null> {
  const chosen = await dialog.showOpenDialog(window, { title, properties: ['openDirectory', 'createDirectory'] })
  return chosen.canceled ? null : (chosen.filePaths[0] ?? null)
}

/** @returns where a new file is to lie, or null when the dialog was closed; the dialog asks before one is replaced */
export async function pickSave(window: BrowserWindow, title: string, fileName: string): Promise<string | null> {
  // a name, never a path
  const name = basename(fileName.replaceAll('\\', '/'))
  const chosen = await dialog.showSaveDialog(window, {
    title,
    defaultPath: join(app.getPath('documents'), name),
    properties: ['createDirectory', 'showOverwriteConfirmation'],
  })
  return chosen.canceled ? null : (chosen.filePath ?? null)
}

/** What the system's dialog calls documents of these extensions. */
const kinds: Readonly<Record<string, string>> = {
  '.pdf': 'PDF',
  '.csv': 'CSV for spreadsheets',
  '.txt': 'CGATS',
  '.cxf': 'CxF3',
  '.zip': 'Archive of a rack',
}

/** Asks where to keep a document and copies it there. */
export async function saveDocument(
  window: BrowserWindow,
  call: Call,
  documentId: string,
): Promise<Reply<{ path: string | null }>> {
  const found = await locateDocument(call, documentId)
  if (!found.ok) return found
  const { fileName } = found.value
  const extension = extname(fileName)
  const kind = kinds[extension] ?? 'File'
  const chosen = await dialog.showSaveDialog(window, {
    title: `Save ${fileName}`,
    defaultPath: join(app.getPath('documents'), fileName),
    filters: extension === '' ? [] : [{ name: kind, extensions: [extension.slice(1)] }],
  })
  if (chosen.canceled || !chosen.filePath) return { ok: true, value: { path: null } }
  try {
    await copyFile(found.value.path, chosen.filePath)
    return { ok: true, value: { path: chosen.filePath } }
  } catch (error) {
    const message = `${fileName} could not be written there (${(error as NodeJS.ErrnoException).code ?? 'unknown'}).`
    return { ok: false, error: { code: 'document/not-saved', message, remedy: 'Choose another folder.' } }
  }
}

import { copyFile } from 'node:fs/promises'
import { join } from 'node:path'
import { app, type BrowserWindow, dialog } from 'electron'
import type { Reply } from '../../shared-core/contract/host.ts'
import { type Call, locateDocument } from '../service/link/located.ts'

/** @returns the folder chosen, or null when the dialog was closed */
export async function pickFolder(window: BrowserWindow, title: string): Promise<string | null> {
  const chosen = await dialog.showOpenDialog(window, { title, properties: ['openDirectory', 'createDirectory'] })
  return chosen.canceled ? null : (chosen.filePaths[0] ?? null)
}

/** Asks where to keep a drawn document and copies it there. */
export async function saveDocument(
  window: BrowserWindow,
  call: Call,
  documentId: string,
): Promise<Reply<{ path: string | null }>> {
  const found = await locateDocument(call, documentId)
  if (!found.ok) return found
  const chosen = await dialog.showSaveDialog(window, {
    title: 'Save the PDF',
    defaultPath: join(app.getPath('documents'), found.value.fileName),
    filters: [{ name: 'PDF', extensions: ['pdf'] }],
  })
  if (chosen.canceled || !chosen.filePath) return { ok: true, value: { path: null } }
  try {
    await copyFile(found.value.path, chosen.filePath)
    return { ok: true, value: { path: chosen.filePath } }
  } catch (error) {
    const message = `The PDF could not be written there (${(error as NodeJS.ErrnoException).code ?? 'unknown'}).`
    return { ok: false, error: { code: 'document/not-saved', message, remedy: 'Choose another folder.' } }
  }
}

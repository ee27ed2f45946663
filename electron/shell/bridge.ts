import { writeFile } from 'node:fs/promises'
import { BrowserWindow, type IpcMainInvokeEvent, ipcMain } from 'electron'
import type { Output } from '../../shared-core/contract/calls.ts'
import { Printable } from '../../shared-core/records/sheet.ts'
import { callBytes, mayCall } from '../service/link/allowed-calls.ts'
import { stagingPath } from '../service/link/app-folder.ts'
import { gatherDetails } from '../service/link/details.ts'
import type { Call } from '../service/link/located.ts'
import { pickFolder, pickSave, saveDocument } from './dialogs.ts'
import { isLargerThan } from './input-size.ts'
import { openLink, openLogs, viewDocument } from './outside.ts'
import { isOurOrigin, isOurPage } from './places.ts'
import { labelPrinter } from './print.ts'

/** As much as the loopback host takes. */
const stageBytes = 300 * 1024 ** 2

/** Only the page itself, in one of our windows, at our address: not a frame in it, not another page. */
function checkSender(event: IpcMainInvokeEvent): BrowserWindow {
  const window = BrowserWindow.fromWebContents(event.sender)
  const frame = event.senderFrame
  if (!window || !frame || frame !== event.sender.mainFrame) throw new Error('unknown sender')
  if (!isOurOrigin(frame.origin) || !isOurPage(frame.url)) throw new Error('unknown sender')
  return window
}

const text = (value: unknown, longest: number): string => {
  if (typeof value !== 'string' || value.length > longest) throw new Error('not a text')
  return value
}

function handle(channel: string, answer: (window: BrowserWindow, ...args: unknown[]) => unknown): void {
  ipcMain.handle(channel, (event, ...args: unknown[]) => answer(checkSender(event), ...args))
}

/** What the preload's bridge asks the main process. Every message is checked: who sent it, and what it holds. */
export function serveBridge(call: Call, home: string, staging: string): void {
  const printer = labelPrinter()

  handle('call', (_window, name, input) => {
    if (!mayCall(name)) throw new Error('no such call')
    if (isLargerThan(input, callBytes)) throw new Error('too large')
    return call(name, input)
  })
  handle('stage', async (_window, name, bytes) => {
    if (!(bytes instanceof Uint8Array) || bytes.length > stageBytes) throw new Error('not a file')
    const path = await stagingPath(staging, text(name, 1000))
    await writeFile(path, bytes, { flag: 'wx', mode: 0o600 })
    return { path }
  })
  handle('pick-folder', (window, title) => pickFolder(window, text(title, 200)))
  handle('pick-save', (window, title, fileName) => pickSave(window, text(title, 200), text(fileName, 200)))
  handle('save-document', (window, documentId) => saveDocument(window, call, text(documentId, 100)))
  handle('view-document', (_window, documentId) => viewDocument(call, text(documentId, 100)))
  handle('open-link', (_window, link) => openLink(text(link, 1000)))
  handle('details', () => gatherDetails(home, 'window'))
  handle('open-logs', () => openLogs(home))
  handle('print-labels', async (_window, input) => {
    const wanted = Printable.parse(input)
    // what cannot be laid out is refused in its own words, before a window is opened for it
    const laidOut = await call('sheets.layOut', { wanted, first: 1 })
    if (!laidOut.ok) return laidOut
    const [page] = (laidOut.value as Output<'sheets.layOut'>).pages
    if (!page) throw new Error('nothing to print')
    return printer.print(wanted, page.size)
  })
  handle('print-input', (window) => printer.inputFor(window.webContents.id))
  handle('print-ready', (window) => printer.ready(window.webContents.id))
}

import { BrowserWindow, dialog } from 'electron'
import { pagePreferences } from './lock-down.ts'
import { isOurPage, pageOrigin, preloadFile } from './places.ts'
import type { Note } from './trouble.ts'

/** A page that ends this often within a minute is not loaded again without being asked. */
const endsAllowed = 3

/** Opens the application's window. A page that ended is loaded again at the address where it was. */
export function openWindow(note: Note): BrowserWindow {
  const window = new BrowserWindow({
    width: 1280,
    height: 860,
    minWidth: 720,
    minHeight: 560,
    show: false,
    title: 'Overground',
    // the bench theme's wall: no white flash before the page is drawn
    backgroundColor: '#4a4a4a',
    autoHideMenuBar: true,
    webPreferences: pagePreferences(preloadFile),
  })
  const { webContents } = window
  window.once('ready-to-show', () => window.show())

  let ends: number[] = []
  webContents.on('render-process-gone', (_event, details) => {
    if (details.reason === 'clean-exit' || window.isDestroyed()) return
    note(`the page ended (${details.reason}, ${details.exitCode})`)
    if (hanging.reloading) {
      hanging.reloading = false
      reloadHere(window)
      return
    }
    const now = Date.now()
    ends = [...ends.filter((at) => now - at < 60_000), now]
    if (ends.length < endsAllowed || askWhetherToReload(window)) reloadHere(window)
    else window.close()
  })
  const hanging = watchHanging(window, note)
  void window.loadURL(`${pageOrigin}/`)
  return window
}

/** A page that does not answer: the painter says whether to wait for it. It is put away when the page comes back. */
function watchHanging(window: BrowserWindow, note: Note) {
  const hanging = { reloading: false }
  let asking: AbortController | undefined
  window.webContents.on('unresponsive', () => {
    if (asking) return
    const mine = new AbortController()
    asking = mine
    note('the page does not answer')
    const question = {
      type: 'warning' as const,
      message: 'The window does not answer at present.',
      detail:
        'It may be busy. Everything saved is safe. Waiting loses nothing; loading it again comes back to the same place ' +
        'with what you had typed into a form.',
      buttons: ['Wait', 'Load it again'],
      defaultId: 0,
      cancelId: 0,
      signal: mine.signal,
    }
    void dialog.showMessageBox(window, question).then(({ response }) => {
      if (asking === mine) asking = undefined
      if (response !== 1 || mine.signal.aborted || window.isDestroyed()) return
      hanging.reloading = true
      window.webContents.forcefullyCrashRenderer()
    })
  })
  window.webContents.on('responsive', () => {
    asking?.abort()
    asking = undefined
  })
  return hanging
}

function reloadHere(window: BrowserWindow): void {
  const address = window.webContents.getURL()
  void window.loadURL(isOurPage(address) ? address : `${pageOrigin}/`)
}

function askWhetherToReload(window: BrowserWindow): boolean {
  const answer = dialog.showMessageBoxSync(window, {
    type: 'warning',
    message: 'The window stopped drawing several times.',
    detail: 'Nothing saved is lost. Show it once more, or close Overground.',
    buttons: ['Show it once more', 'Close Overground'],
    defaultId: 0,
    cancelId: 1,
  })
  return answer === 0
}

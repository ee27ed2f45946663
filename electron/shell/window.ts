import { BrowserWindow, dialog } from 'electron'
import { pagePreferences } from './lock-down.ts'
import { isOurPage, pageOrigin, preloadFile } from './places.ts'

/** A page that ends this often within a minute is not loaded again without being asked. */
const endsAllowed = 3

/** Opens the application's window. A page that ended is loaded again at the address where it was. */
export function openWindow(): BrowserWindow {
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
    const now = Date.now()
    ends = [...ends.filter((at) => now - at < 60_000), now]
    if (ends.length < endsAllowed || askWhetherToReload(window)) reloadHere(window)
    else window.close()
  })
  webContents.on('unresponsive', () => console.error('The page does not answer.'))
  void window.loadURL(`${pageOrigin}/`)
  return window
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

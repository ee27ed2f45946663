import { join } from 'node:path'
import { app, BrowserWindow } from 'electron'
import type { Event } from '../../shared-core/contract/calls.ts'
import { appFolder, stagingFolder, sweepStaging } from '../service/link/app-folder.ts'
import { sayEnd, serviceClient } from '../service/link/client.ts'
import { pictureLocator } from '../service/link/located.ts'
import { nodeService } from '../service/link/node-child.ts'
import { serveBridge } from './bridge.ts'
import { lockDown } from './lock-down.ts'
import { setMenu } from './menu.ts'
import { announceSchemes, servePages } from './pages.ts'
import { plainNode, serviceEntry } from './places.ts'
import { keepTroubles, windowLog } from './trouble.ts'
import { utilityService } from './utility-child.ts'
import { openWindow } from './window.ts'

const home = appFolder()
// the browser engine's own files lie in a folder of their own; the lock that keeps a second window away lies there too
app.setPath('userData', join(home, 'window'))
app.enableSandbox()
const note = windowLog(home)
keepTroubles(note)
announceSchemes()

if (app.requestSingleInstanceLock()) {
  void app.whenReady().then(start)
} else {
  console.error('Overground is already open on this computer: its window was brought to the front.')
  app.quit()
}

async function start(): Promise<void> {
  const staging = stagingFolder(home)
  await sweepStaging(staging)
  const starter = process.platform === 'linux' ? nodeService(plainNode(), serviceEntry) : utilityService(serviceEntry)
  const hear = (event: Event) => {
    pictures.hear(event)
    toEveryWindow(event)
  }
  const client = serviceClient(starter, hear, {}, (end) => note(sayEnd(end)))
  const pictures = pictureLocator(client.call)
  lockDown()
  setMenu()
  servePages(pictures)
  serveBridge(client.call, home, staging)
  const window = openWindow(note)

  app.on('second-instance', () => {
    if (window.isDestroyed()) return
    if (window.isMinimized()) window.restore()
    window.focus()
  })
  // a hidden window that prints must not keep the application alive
  window.once('closed', () => app.quit())

  let left = false
  app.on('will-quit', (event) => {
    if (left) return
    event.preventDefault()
    void client.stop().then(() => {
      left = true
      app.quit()
    })
  })
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => app.quit())
}

function toEveryWindow(event: Event): void {
  for (const window of BrowserWindow.getAllWindows())
    if (!window.isDestroyed() && !window.webContents.isCrashed()) window.webContents.send('event', event)
}

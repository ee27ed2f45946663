import { app, session } from 'electron'

/**
 * What no page may do, whatever window it is in: leave its address, open windows, hold other pages, ask for devices or
 * permissions. To be called once the application is ready and before the first window.
 */
export function lockDown(): void {
  app.on('web-contents-created', (_event, contents) => {
    contents.setWindowOpenHandler(() => ({ action: 'deny' }))
    contents.on('will-navigate', (event) => event.preventDefault())
    contents.on('will-redirect', (event) => event.preventDefault())
    contents.on('will-frame-navigate', (event) => event.preventDefault())
    contents.on('will-attach-webview', (event) => event.preventDefault())
  })
  const { defaultSession } = session
  defaultSession.setPermissionRequestHandler((_contents, _permission, done) => done(false))
  defaultSession.setPermissionCheckHandler(() => false)
  defaultSession.setDevicePermissionHandler(() => false)
  // the pages need no network at all; the policy says so to the page, this says so to the session
  defaultSession.webRequest.onBeforeRequest((request, done) => {
    done({ cancel: !/^(app:|blob:|devtools:)/.test(request.url) })
  })
}

/** For every window: the page runs in the sandbox, apart from the preload, without Node. */
export const pagePreferences = (preload: string) => ({
  preload,
  sandbox: true,
  contextIsolation: true,
  nodeIntegration: false,
  nodeIntegrationInWorker: false,
  nodeIntegrationInSubFrames: false,
  webSecurity: true,
  webviewTag: false,
  navigateOnDragDrop: false,
  spellcheck: false,
  devTools: process.env.OVERGROUND_DEVTOOLS === '1',
})

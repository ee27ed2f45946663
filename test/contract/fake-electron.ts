import { EventEmitter } from 'node:events'

/**
 * Stands in for the module `electron`, so that the shell's own code runs where there is no window: it keeps what it was
 * given (options of windows, handlers, listeners) and lets a test ask those as Electron would.
 */
export type Preferences = Record<string, unknown>
type Handler = (event: unknown, ...args: unknown[]) => unknown

export class FakeContents extends EventEmitter {
  readonly id: number
  url = ''
  readonly sent: unknown[][] = []
  crashes = 0
  openHandler: ((asked: { url: string }) => { action: string }) | undefined
  readonly mainFrame = {
    of: this as FakeContents,
    get url() {
      return this.of.url
    },
    get origin() {
      return originOf(this.of.url)
    },
  }
  constructor(id: number) {
    super()
    this.id = id
  }
  setWindowOpenHandler(handler: (asked: { url: string }) => { action: string }): void {
    this.openHandler = handler
  }
  getURL = () => this.url
  send = (...args: unknown[]) => void this.sent.push(args)
  isCrashed = () => false
  forcefullyCrashRenderer(): void {
    this.crashes++
    this.emit('render-process-gone', {}, { reason: 'crashed', exitCode: 5 })
  }
  print = (_options: unknown, done: (printed: boolean, why?: string) => void) => done(true)
}

/** As a browser serialises it: an address of a scheme that was announced as standard has an origin. */
function originOf(url: string): string {
  const standard = /^(app|https?):\/\/([^/?#]*)/.exec(url)
  return standard ? `${standard[1]}://${standard[2]}` : 'null'
}

export class FakeWindow extends EventEmitter {
  static readonly all: FakeWindow[] = []
  static getAllWindows = () => FakeWindow.all
  static fromWebContents = (contents: unknown) => FakeWindow.all.find((one) => one.webContents === contents) ?? null
  readonly options: { webPreferences?: Preferences } & Record<string, unknown>
  readonly webContents: FakeContents
  readonly loaded: string[] = []
  destroyed = false
  constructor(options: FakeWindow['options'] = {}) {
    super()
    this.options = options
    this.webContents = new FakeContents(FakeWindow.all.push(this))
    app.emit('web-contents-created', {}, this.webContents)
  }
  async loadURL(url: string): Promise<void> {
    this.loaded.push(url)
    this.webContents.url = url
  }
  show(): void {}
  focus(): void {}
  restore(): void {}
  close(): void {
    this.destroy()
  }
  isMinimized = () => false
  isDestroyed = () => this.destroyed
  destroy(): void {
    this.destroyed = true
    this.emit('closed')
  }
}

/** What was asked of Electron, in the order in which it was asked. */
export const diary: string[] = []
const note =
  (what: string) =>
  (...args: unknown[]): void => {
    diary.push(args.length > 0 && typeof args[0] === 'string' ? `${what} ${args[0]}` : what)
  }

export const app = Object.assign(new EventEmitter(), {
  setPath: note('setPath'),
  enableSandbox: note('enableSandbox'),
  requestSingleInstanceLock: () => true,
  whenReady: async () => note('ready')(),
  quit: note('quit'),
  getPath: () => '/documents',
})

type Decide = (contents: unknown, permission: string, done: (granted: boolean) => void) => void
export const granted: {
  request?: Decide
  check?: (...args: unknown[]) => boolean
  device?: (...args: unknown[]) => boolean
  before?: (request: { url: string }, done: (answer: { cancel: boolean }) => void) => void
} = {}
export const session = {
  defaultSession: {
    setPermissionRequestHandler: (decide: Decide) => void (granted.request = decide),
    setPermissionCheckHandler: (decide: (...args: unknown[]) => boolean) => void (granted.check = decide),
    setDevicePermissionHandler: (decide: (...args: unknown[]) => boolean) => void (granted.device = decide),
    webRequest: { onBeforeRequest: (listener: NonNullable<typeof granted.before>) => void (granted.before = listener) },
  },
}

export const schemes: { scheme: string; privileges: Record<string, boolean> }[] = []
export const protocols = new Map<string, (request: Request) => Promise<Response>>()
export const protocol = {
  registerSchemesAsPrivileged: (announced: typeof schemes) => {
    note('schemes')()
    schemes.push(...announced)
  },
  handle: (scheme: string, handler: (request: Request) => Promise<Response>) => void protocols.set(scheme, handler),
}

export const channels = new Map<string, Handler>()
export const ipcMain = {
  handle: (channel: string, handler: Handler) => void channels.set(channel, handler),
  on: () => {
    throw new Error('a channel without an answer is not looked after')
  },
}

export const opened: string[] = []
export const shell = {
  openExternal: async (link: string) => void opened.push(link),
  openPath: async (path: string) => {
    opened.push(path)
    return ''
  },
}

type Question = { message: string; buttons: string[]; signal?: AbortSignal }
export const asked: { question: Question; answer: (response: number) => void }[] = []
export const dialog = {
  showOpenDialog: async () => ({ canceled: true, filePaths: [] }),
  showSaveDialog: async () => ({ canceled: true }),
  showErrorBox: note('errorBox'),
  showMessageBoxSync: () => 0,
  showMessageBox: (_window: unknown, question: Question) =>
    new Promise<{ response: number }>((resolve) => {
      asked.push({ question, answer: (response) => resolve({ response }) })
      question.signal?.addEventListener('abort', () => resolve({ response: 0 }))
    }),
}

export const Menu = { setApplicationMenu: note('menu'), buildFromTemplate: (template: unknown) => template }
export const utilityProcess = {
  fork: () => {
    throw new Error('a test starts no utility process')
  },
}

export const exposed = new Map<string, unknown>()
export const contextBridge = { exposeInMainWorld: (name: string, what: unknown) => void exposed.set(name, what) }
export const invoked: unknown[][] = []
export const ipcRenderer = Object.assign(new EventEmitter(), {
  invoke: async (...args: unknown[]) => void invoked.push(args),
})
export const webUtils = { getPathForFile: () => '/a/path' }
export { FakeWindow as BrowserWindow }

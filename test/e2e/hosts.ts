import { type ChildProcess, spawn } from 'node:child_process'
import { chmodSync, existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type BrowserContext, type ElectronApplication, _electron as electron, type Page } from 'playwright-core'
import type { CallName, Input, Output } from '../../shared-core/contract/calls.ts'
import type { Reply, WindowBridge } from '../../shared-core/contract/host.ts'
import { startBrowser } from './browser.ts'

const loopbackEntry = fileURLToPath(new URL('../../out/main/loopback.js', import.meta.url))

/** The application as it was built, in front of a real browser engine. */
export type Host = {
  kind: 'browser' | 'window'
  page: Page
  /** Present in a window only. */
  app: ElectronApplication | undefined
  /** A folder of this run alone, removed at the end; whoever the application runs as can write there. */
  folder: string
  /** What pages complained of so far: errors in the console, uncaught errors, refusals of the security policy. */
  complaints: string[]
  /** A call as the page itself makes it; throws on a failure. */
  call<N extends CallName>(name: N, input: Input<N>): Promise<Output<N>>
  stop(): Promise<void>
}

/** A window when OVERGROUND_ELECTRON names an executable, otherwise the packaged browser on the loopback host. */
export async function startHost(): Promise<Host> {
  if (!existsSync(loopbackEntry)) throw new Error('The application is not built: npm run build')
  const folder = mkdtempSync(join(tmpdir(), 'overground-e2e-'))
  const home = join(folder, 'home')
  mkdirSync(home)
  // as root, the window runs as an ordinary user, who has to write here as well
  if (process.getuid?.() === 0) for (const one of [folder, home]) chmodSync(one, 0o777)
  const executable = process.env.OVERGROUND_ELECTRON
  try {
    return executable ? await windowHost(executable, folder, home) : await browserHost(folder, home)
  } catch (error) {
    rmSync(folder, { recursive: true, force: true })
    throw error
  }
}

async function browserHost(folder: string, home: string): Promise<Host> {
  const child = spawn(process.execPath, [loopbackEntry], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, OVERGROUND_HOME: home, OVERGROUND_PORT: '0' },
  })
  const address = await printedAddress(child)
  const token = address.split('#token=')[1] ?? ''
  const browser = await startBrowser().catch((error: unknown) => {
    child.kill('SIGTERM')
    throw error
  })
  const context = await browser.newContext({ viewport: { width: 1280, height: 860 } })
  // a machine that does other things besides is slow: a limit only ends what hangs
  context.setDefaultTimeout(60_000)
  const complaints = listen(context)
  const page = await context.newPage()
  await page.goto(address)
  return {
    kind: 'browser',
    page,
    app: undefined,
    folder,
    complaints,
    call: through((name, input) =>
      page.evaluate(
        async (sent) => {
          const headers = { 'x-token': sent.token, 'content-type': 'application/json' }
          const body = JSON.stringify(sent.input)
          return (await (await fetch(`/call/${sent.name}`, { method: 'POST', headers, body })).json()) as Reply
        },
        { name, input, token },
      ),
    ),
    stop: async () => {
      await browser.close()
      await ended(child)
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

async function windowHost(executablePath: string, folder: string, home: string): Promise<Host> {
  const app = await electron.launch({
    executablePath,
    // without this the sandbox would be switched off, which is part of what is tested
    chromiumSandbox: true,
    env: { ...(process.env as Record<string, string>), OVERGROUND_HOME: home },
  })
  app.context().setDefaultTimeout(60_000)
  const complaints = listen(app.context())
  const page = await app.firstWindow()
  // what the page said before it could be heard, it says again
  await page.reload()
  return {
    kind: 'window',
    page,
    app,
    folder,
    complaints,
    call: through((name, input) =>
      page.evaluate(
        (sent) => (window as unknown as { overground: WindowBridge }).overground.call(sent.name, sent.input),
        { name, input },
      ),
    ),
    stop: async () => {
      await app.close()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

function through(carry: (name: string, input: unknown) => Promise<Reply>): Host['call'] {
  return async (name, input) => {
    const reply = await carry(name, input)
    if (!reply.ok) throw new Error(`${reply.error.code}: ${reply.error.message}`)
    return reply.value as never
  }
}

function listen(context: BrowserContext): string[] {
  const complaints: string[] = []
  context.on('console', (message) => {
    const text = message.text()
    if (message.type() === 'error' || /content security policy/i.test(text))
      complaints.push(`${text} (${message.location().url})`)
  })
  context.on('weberror', (error) => complaints.push(error.error().message))
  return complaints
}

function printedAddress(child: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let printed = ''
    child.stdout?.on('data', (text) => {
      printed += String(text)
      const found = /http:\/\/\S+(?=\s)/.exec(printed)?.[0]
      if (found) resolve(found)
    })
    child.once('exit', (code) => reject(new Error(`The loopback host ended (${code}): ${printed}`)))
  })
}

function ended(child: ChildProcess): Promise<void> {
  return new Promise((resolve) => {
    if (child.exitCode !== null || child.signalCode !== null) return resolve()
    child.once('exit', () => resolve())
    child.kill('SIGTERM')
  })
}

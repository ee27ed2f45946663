// Plain JavaScript that Node 18 and later can read: it must be able to say that Node is too old.
import { spawn } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = join(dirname(fileURLToPath(import.meta.url)), '..')
const modules = join(root, 'node_modules')
const needed = 24
const fetchLimitMs = 5 * 60_000
const saidEveryMs = 10_000

const say = (text) => console.log(`overground: ${text}`)

const options = new Set(process.argv.slice(2))
const unknown = [...options].filter((option) => option !== '--browser')
if (unknown.length > 0) {
  say(`${unknown.join(' ')} is not known. The only option is --browser: npm start -- --browser`)
  process.exit(1)
}

/** Ctrl-C reaches every child by itself (same group); SIGTERM is handed on. Either is a wish to end, not a failure. */
let ending = false
let present
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'])
  process.on(signal, () => {
    ending = true
    if (signal !== 'SIGINT') present?.kill('SIGTERM')
  })

/** Runs a program; `heard` gets what it prints. Resolves to its exit code, or to null where it could not be run or was killed. */
function run(command, args, { heard, env, limitMs } = {}) {
  return new Promise((resolve) => {
    const child = spawn(command, args, {
      cwd: root,
      stdio: ['inherit', heard ? 'pipe' : 'inherit', 'inherit'],
      env: { ...process.env, ...env },
    })
    present = child
    let late = false
    const limit =
      limitMs &&
      setTimeout(() => {
        late = true
        child.kill('SIGKILL')
      }, limitMs)
    if (heard)
      child.stdout.on('data', (text) => {
        process.stdout.write(text)
        heard(String(text))
      })
    const end = (code, why) => {
      clearTimeout(limit)
      present = undefined
      resolve({ code, why: late ? 'it took too long' : why })
    }
    child.once('error', (error) => end(null, error.message))
    child.once('close', (code, signal) => end(code, code === null ? `signal ${signal}` : `code ${code}`))
  })
}

function leaveIfEnding() {
  if (ending) process.exit(0)
}

function nodeTrouble() {
  if (Number(process.versions.node.split('.')[0]) >= needed) return undefined
  return (
    `this is Node ${process.versions.node}, and Node ${needed} or newer is needed. ` +
    'On Linux x64 "npm ci" brings it: run that, then "npm start". Elsewhere install Node 24 first.'
  )
}

/** Electron's executable, if it is there. Never asks the package itself: that begins a download. */
function electronRuntime() {
  const home = join(modules, 'electron')
  const named =
    { darwin: 'Electron.app/Contents/MacOS/Electron', win32: 'electron.exe' }[process.platform] ?? 'electron'
  const elsewhere = process.env.ELECTRON_OVERRIDE_DIST_PATH
  if (elsewhere) return existsSync(join(elsewhere, named)) ? join(elsewhere, named) : undefined
  const pointer = join(home, 'path.txt')
  if (!existsSync(pointer)) return undefined
  const file = join(home, 'dist', readFileSync(pointer, 'utf8').trim())
  return existsSync(file) ? file : undefined
}

function hasDisplay() {
  return process.platform !== 'linux' || Boolean(process.env.DISPLAY || process.env.WAYLAND_DISPLAY)
}

/** Why there can be no window, or nothing. */
function whyNoWindow() {
  if (options.has('--browser')) return 'the browser was asked for'
  if (!hasDisplay()) return 'there is no display here'
  if (process.platform === 'linux' && process.getuid() === 0)
    return 'you are root, and the window keeps pages in a sandbox that does not run as root'
  return undefined
}

/** Fetches Electron's runtime once. */
async function fetchRuntime() {
  say('the window needs the Electron runtime (about 115 MB), which is fetched once. Ctrl-C ends it.')
  const began = Date.now()
  const beat = setInterval(() => {
    say(
      `still fetching, ${Math.round((Date.now() - began) / 1000)} s so far (at most ${fetchLimitMs / 60_000} minutes)`,
    )
  }, saidEveryMs)
  const { code, why } = await run(process.execPath, [join(modules, 'electron', 'install.js')], {
    limitMs: fetchLimitMs,
  })
  clearInterval(beat)
  leaveIfEnding()
  const runtime = electronRuntime()
  if (code === 0 && runtime) {
    say('the runtime is there.')
    return runtime
  }
  say(`the runtime could not be fetched (${why}). The next start tries again.`)
  return undefined
}

async function build() {
  say('building, a few seconds …')
  const { code } = await run(process.execPath, [
    join(modules, 'electron-vite', 'bin', 'electron-vite.js'),
    'build',
    '--logLevel',
    'warn',
  ])
  leaveIfEnding()
  if (code === 0) return
  say('the build failed: see above. If a package is missing, run "npm ci" first.')
  process.exit(1)
}

/** Opens an address with the desktop's own browser. Where that cannot be done, the address stands in the terminal. */
function openAddress(address) {
  const [command, ...args] = {
    darwin: ['open', address],
    win32: ['cmd', '/c', 'start', '""', address],
  }[process.platform] ?? ['xdg-open', address]
  const opener = spawn(command, args, { stdio: 'ignore', detached: true })
  opener.once('error', () => say('open the address above in your browser.'))
  opener.unref()
}

async function serveBrowser() {
  say('serving the same application to your browser at this address; Ctrl-C ends it.')
  let printed = ''
  let opened = !hasDisplay() || process.getuid?.() === 0
  const { code } = await run(process.execPath, [join(root, 'out', 'main', 'loopback.js')], {
    heard: (text) => {
      if (opened) return
      printed += text
      const address = /http:\/\/127\.0\.0\.1:\d+\/#token=\S+(?=\s)/.exec(printed)?.[0]
      if (!address) return
      opened = true
      openAddress(address)
    },
  })
  process.exit(ending ? 0 : (code ?? 1))
}

const trouble = nodeTrouble()
if (trouble) {
  say(trouble)
  process.exit(1)
}
await build()
const reason = whyNoWindow()
const runtime = reason ? undefined : (electronRuntime() ?? (await fetchRuntime()))
if (reason) say(`no window: ${reason}.`)
if (runtime) {
  const began = Date.now()
  const { code, why } = await run(runtime, ['.'], { env: { OVERGROUND_NODE: process.execPath } })
  leaveIfEnding()
  // a window that was used and then ended badly is not followed by a browser that nobody asked for
  if (code === 0 || Date.now() - began > 5_000) process.exit(code ?? 1)
  say(`the window could not be opened (${why}).`)
}
await serveBrowser()

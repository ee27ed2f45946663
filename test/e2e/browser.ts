import { execFileSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import carried, { inflate } from '@sparticuz/chromium'
import { type Browser, chromium } from 'playwright-core'

const cache = fileURLToPath(new URL('../../node_modules/.cache/browser/', import.meta.url))

/**
 * A real Chromium: on Linux x64 the one that comes with the packages, elsewhere the Chrome that is installed. The
 * package's own list of arguments is not used: it switches off the checks of origins that are to be tested.
 */
export async function startBrowser(): Promise<Browser> {
  if (process.platform !== 'linux' || process.arch !== 'x64') return chromium.launch({ channel: 'chrome' })
  const folder = await unpacked()
  const executablePath = join(folder, 'chromium')
  const env: Record<string, string> = { ...(process.env as Record<string, string>) }
  // the same fonts on every machine, also where there are none
  env.FONTCONFIG_FILE = join(folder, 'fonts.conf')
  if (lacksLibraries(executablePath)) {
    const libraries = join(folder, 'al2023', 'lib')
    env.LD_LIBRARY_PATH = [libraries, process.env.LD_LIBRARY_PATH].filter(Boolean).join(':')
  }
  return chromium.launch({ executablePath, args: ['--disable-background-networking'], env })
}

/** The package unpacks to the temporary folder and takes whatever lies there: each version gets a folder of its own. */
async function unpacked(): Promise<string> {
  const root = join(dirname(createRequire(import.meta.url).resolve('@sparticuz/chromium')), '..')
  const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { version: string }
  const folder = join(cache, version)
  if (existsSync(folder)) return withFonts(folder)
  const making = `${folder}.${process.pid}`
  mkdirSync(making, { recursive: true })
  const before = process.env.TMPDIR
  process.env.TMPDIR = making
  try {
    await carried.executablePath()
    await inflate(join(root, 'bin', 'al2023.tar.br'))
  } finally {
    if (before === undefined) delete process.env.TMPDIR
    else process.env.TMPDIR = before
  }
  // complete or absent: a run that was broken off leaves nothing that looks complete
  try {
    renameSync(making, folder)
  } catch (error) {
    rmSync(making, { recursive: true, force: true })
    if (!existsSync(folder)) throw error
  }
  return withFonts(folder)
}

/** The font settings name whole paths: written at every start, so that a checkout can be moved or copied. */
function withFonts(folder: string): string {
  writeFileSync(
    join(folder, 'fonts.conf'),
    `<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig>
<dir>${join(folder, 'fonts')}</dir><cachedir>${join(folder, 'font-cache')}</cachedir></fontconfig>\n`,
  )
  return folder
}

function lacksLibraries(executable: string): boolean {
  return execFileSync('ldd', [executable], { encoding: 'utf8' }).includes('not found')
}

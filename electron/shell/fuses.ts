import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/**
 * How a packager must set the fuses of Electron's executable before it is signed, in the order in which they lie in it:
 * Electron's documentation, "Electron Fuses"; the order is that of `FuseV1Options` in @electron/fuses. Packaging itself is
 * not part of this project: `node electron/shell/fuses.ts EXECUTABLE` says of a packaged one what is not set so.
 */
export const requiredFuses = [
  // on Linux the service runs in a Node of its own, elsewhere as a utility process: nothing runs Electron as Node
  { name: 'RunAsNode', on: false },
  // the window keeps no cookies
  { name: 'EnableCookieEncryption', on: null },
  { name: 'EnableNodeOptionsEnvironmentVariable', on: false },
  { name: 'EnableNodeCliInspectArguments', on: false },
  { name: 'EnableEmbeddedAsarIntegrityValidation', on: true },
  { name: 'OnlyLoadAppFromAsar', on: true },
  { name: 'LoadBrowserProcessSpecificV8Snapshot', on: null },
  // pages come by a protocol of our own
  { name: 'GrantFileProtocolExtraPrivileges', on: false },
] as const

/** Stands before the fuses in every executable; from the same documentation. */
const sentinel = 'dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX'
const [off, on, removed] = [0x30, 0x31, 0x72]

/** @returns what is not as it must be, in words; empty when all is */
export function wrongFuses(executable: Buffer): string[] {
  const found = executable.indexOf(sentinel)
  if (found < 0) return ['this is no executable of Electron: it has no fuses']
  const [version, count] = executable.subarray(found + sentinel.length)
  if (version !== 1) return [`the fuses are of version ${version}, and only version 1 is known`]
  const wire = executable.subarray(found + sentinel.length + 2, found + sentinel.length + 2 + (count ?? 0))
  return requiredFuses.flatMap(({ name, on: wanted }, place) => {
    const state = wire[place]
    if (wanted === null || state === removed || state === (wanted ? on : off)) return []
    return [`${name} must be switched ${wanted ? 'on' : 'off'}${state === undefined ? ', and is not there' : ''}`]
  })
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [path] = process.argv.slice(2)
  const wrong = path === undefined ? ['name the executable'] : wrongFuses(readFileSync(path))
  for (const one of wrong) console.error(one)
  process.exitCode = wrong.length === 0 ? 0 : 1
}

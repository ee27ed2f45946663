import { existsSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { calls, commonErrors } from '../../shared-core/contract/calls.ts'

const root = new URL('../../', import.meta.url)
const here = (path: string) => existsSync(new URL(path, root))
const read = (name: string) => readFileSync(new URL(name, root), 'utf8')
const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> }

/** What npm does itself; `start` and `test` are scripts although they need no `run`. */
const ownToNpm = new Set(['ci', 'install', 'run', 'exec'])
/** Made by a build, a type check or a test, or lying beside the project. */
const madeLater = /^(out|node_modules|coverage|\.tsbuild)(\/|$)|^\.\.\//
/** Inside a rack, which lies wherever its painter wants it. */
const inRack = /^(photos|data-sheets|renditions|backups|trash)\//
/** Error codes are written like paths. */
const codes = new Set<string>([...commonErrors, ...Object.values(calls).flatMap((call) => [...call.errors])])

/** Every script named in a text: `npm run x`, `npm start`. */
function scriptsIn(text: string): string[] {
  return [...text.matchAll(/\bnpm (?:run )?([a-z][\w:-]*)/g)]
    .map((found) => found[1] ?? '')
    .filter((name) => !ownToNpm.has(name))
}

/**
 * Every path named in back quotes. A short form (`service/link`, `link/`) is taken as lying in one of the sides, or in
 * the folder that its line begins with: hence several places for one name.
 */
function pathsIn(text: string): Array<{ name: string; places: string[] }> {
  return text.split('\n').flatMap((line) => {
    const named = [...line.matchAll(/`([^`]+)`/g)]
      .map((found) => found[1] ?? '')
      .filter((one) => /^\.{0,2}[\w/-][\w./-]*$/.test(one) && one.includes('/'))
      .filter((one) => !madeLater.test(one) && !inRack.test(one) && !codes.has(one) && !one.startsWith('/'))
    const above = ['', 'electron/', 'renderer/', 'shared-core/', 'test/', `${named[0]?.replace(/\/?$/, '/')}`]
    return named.map((name) => ({ name, places: above.map((folder) => folder + name) }))
  })
}
const missing = (text: string) =>
  pathsIn(text)
    .filter(({ places }) => !places.some(here))
    .map(({ name }) => name)

describe.each(['README.md', 'DEVELOPERS.md'])('%s', (name) => {
  test('names scripts that exist', () => {
    const named = scriptsIn(read(name))
    expect(named).not.toEqual([])
    expect(named.filter((script) => !Object.hasOwn(scripts, script))).toEqual([])
  })

  test('names folders and files that exist', () => {
    expect(missing(read(name))).toEqual([])
  })
})

test('DEVELOPERS.md maps the folders of every side', () => {
  const named = pathsIn(read('DEVELOPERS.md')).map((path) => path.name)
  const sides = ['shared-core/', 'electron/', 'renderer/', 'test/']
  expect(sides.filter((side) => !named.some((path) => path.startsWith(side)))).toEqual([])
})

test('the check sees a script and a folder that do not exist', () => {
  expect(scriptsIn('run `npm ci && npm start`, then `npm run no:such`')).toEqual(['start', 'no:such'])
  expect(missing('`electron/shell/main.ts`, `rack/locked`, `electron/no-such` and `shell/no-such.ts`')).toEqual([
    'electron/no-such',
    'shell/no-such.ts',
  ])
  expect(missing('`electron/service` and its `link/`')).toEqual([])
})

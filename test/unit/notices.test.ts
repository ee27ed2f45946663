import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { licences } from '../../renderer/screens/settings/licences.ts'
import {
  builtFrom,
  gatherNotices,
  importedByPage,
  type Notices,
  neededBy,
  noticesFile,
  readLock,
  root,
  statedInFile,
} from './notices.ts'

const lock = readLock()
const kept = JSON.parse(readFileSync(noticesFile, 'utf8')) as Notices
const textOf = (name: string) => {
  const one = kept.packages.find((notice) => notice.name === name)!
  return one.text === null ? '' : kept.texts[one.text]!
}

/**
 * Licences that need nothing from us but their words and the authors' names (SPDX identifiers), and the LGPL, whose parts
 * are named: they are linked so that they can be replaced, and say where their source is to be had.
 */
const allowed = new Set([
  'MIT',
  'ISC',
  '0BSD',
  'Apache-2.0',
  'OFL-1.1',
  'Bitstream-Vera',
  '(MIT OR CC0-1.0)',
  'its text',
])
const both = 'Apache-2.0 AND LGPL-3.0-or-later'
const lgpl = new Set(['LGPL-3.0', 'LGPL-3.0-or-later', both, `${both} AND MIT`])
const lgplParts = ['libheif-js', 'libvips, with', 'sharp (compiled part']

describe('the list of licences that the application shows', () => {
  test('is that of what is really built in: after a change of packages, run node test/unit/notices.ts', () => {
    const now = gatherNotices(lock)
    // words of what comes for each system are those of the system that the list was written on
    const plain = ({ packages }: Notices) => packages.map(({ name, version, licence }) => ({ name, version, licence }))
    expect(plain(kept)).toEqual(plain(now))
    const elsewhere = /one for each system|Node\.js/
    for (const { name, text } of now.packages.filter((one) => one.text !== null && !elsewhere.test(one.name)))
      expect([name, textOf(name)]).toEqual([name, now.texts[text!]])
  })

  test('leaves out nothing: what the page imports, what runs, and what those need', () => {
    const page = [...importedByPage()]
    expect(page).toEqual(expect.arrayContaining(['react', 'react-dom', 'zustand', '@fontsource-variable/archivo']))
    const built = builtFrom(lock)
    const names = new Set(built.map((place) => place.replace(/^.*node_modules\//, '')))
    const some = ['react-aria', 'react-stately', 'scheduler', 'fontkit', 'buffer-crc32', 'xmlchars']
    expect([...names]).toEqual(expect.arrayContaining(some))
    // whatever the lock file does not mark as for development only is there
    const runs = Object.entries(lock.packages).filter(([place, { dev }]) => place !== '' && !dev)
    const missing = runs.map(([place]) => place).filter((place) => !built.includes(place))
    // peers that are types alone, or that the application has by itself
    expect(missing.filter((place) => !place.includes('/@types/'))).toEqual([])
  })

  test('has the words of each licence, and they are those that it states', () => {
    const begins: [RegExp, RegExp][] = [
      [/^MIT$/, /Permission is hereby granted, free of charge/],
      [/^ISC$/, /Permission to use, copy, modify, and\/or distribute this software/],
      [/^Apache-2\.0$/, /Apache License\s+Version 2\.0/],
      [/^LGPL-3\.0$/, /GNU LESSER GENERAL PUBLIC LICENSE\s+Version 3/],
      [/^OFL-1\.1$/, /SIL OPEN FONT LICENSE\s+Version 1\.1/i],
    ]
    for (const { name, licence } of kept.packages) {
      const words = begins.find(([stated]) => stated.test(licence))?.[1] ?? /./
      expect(textOf(name).replaceAll(/\s+/g, ' ')).toMatch(words)
    }
    expect(kept.packages.filter(({ text }) => text === null).map(({ name }) => name)).toEqual([])
    for (const [name, { words }] of Object.entries(statedInFile)) expect(textOf(name)).toMatch(words)
    expect(textOf('GNU General Public License 3 (which the LGPL supplements)')).toMatch(
      /GNU GENERAL PUBLIC LICENSE\s+Version 3, 29 June 2007[\s\S]{30000}/,
    )
  })

  test('holds allowed licences only; the LGPL only where its source and how it is linked is told', () => {
    const others = kept.packages.filter(({ licence }) => !licence.split(', ').every((one) => allowed.has(one)))
    const known = [...allowed, ...lgpl]
    for (const { name, licence, source } of others) {
      expect(known).toEqual(expect.arrayContaining(licence.split(', ')))
      expect(lgplParts.filter((part) => name.startsWith(part))).toHaveLength(1)
      expect(source).toMatch(/source[^.]*github\.com/i)
    }
    expect(others).toHaveLength(lgplParts.length)
  })

  test('the short list on the page names parts that are built in, and each that ours name', () => {
    const names = builtFrom(lock).map((place) => place.replace(/^.*node_modules\//, ''))
    const short = licences.map((one) => one.package)
    expect(short.filter((name) => ![...names, 'electron', 'sharp-libvips'].includes(name))).toEqual([])
    const own = [...importedByPage(), ...Object.keys(lock.packages['']!.dependencies ?? {})]
    expect(own.filter((name) => !short.includes(name))).toEqual([])
  })
})

describe('the lock file', () => {
  const entries = Object.entries(lock.packages).filter(([place]) => place !== '')

  test('names no place to fetch from, and the sum of every package', () => {
    expect(entries.length).toBeGreaterThan(200)
    expect(entries.filter(([, { resolved }]) => resolved !== undefined)).toEqual([])
    expect(entries.filter(([, { integrity }]) => !/^sha512-[A-Za-z0-9+/]{86}==$/.test(integrity ?? ''))).toEqual([])
    expect(readFileSync(join(root, 'package-lock.json'), 'utf8')).not.toMatch(/registry\.|\.tgz"/)
  })

  test('holds nothing that runs a script when it is installed, and none would be run', () => {
    expect(entries.filter(([, { hasInstallScript }]) => hasInstallScript)).toEqual([])
    expect(readFileSync(join(root, '.npmrc'), 'utf8').split('\n')).toContain('ignore-scripts=true')
    // what lies on the disk says the same of itself
    const scripted = entries.filter(([place]) => {
      const file = join(root, place, 'package.json')
      if (!existsSync(file)) return false
      const { scripts = {} } = JSON.parse(readFileSync(file, 'utf8')) as { scripts?: Record<string, string> }
      return ['preinstall', 'install', 'postinstall'].some((name) => scripts[name] !== undefined)
    })
    const known = scripted.map(([place]) => place.replace('node_modules/', ''))
    expect(known).toEqual([])
  })

  test('every package that is reached is one of it', () => {
    expect(neededBy(lock, ['sharp']).length).toBeGreaterThan(5)
    expect(neededBy(lock, ['no-such-package'])).toEqual([])
  })
})

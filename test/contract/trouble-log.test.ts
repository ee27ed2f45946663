import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { homedir, hostname, tmpdir, userInfo } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { dispatch, type Handlers } from '../../electron/service/dispatch.ts'
import { handlers } from '../../electron/service/handlers/all.ts'
import { gatherDetails } from '../../electron/service/link/details.ts'
import { applicationFolder, knownWords, scrubber } from '../../electron/service/link/scrub.ts'
import { lastEntries, logFile, logsFolder, troubleLog } from '../../electron/service/link/trouble-log.ts'
import type { Input } from '../../shared-core/contract/calls.ts'
import { benchService } from './bench-service.ts'

let home: string
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'trouble-log-'))
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
})
afterEach(() => {
  vi.restoreAllMocks()
  rmSync(home, { recursive: true, force: true })
})

const folded = (text: string) => text.normalize('NFC').toLowerCase()
/** Names as people, computers and folders have them, in any script, of three signs or more. */
const name = fc
  .oneof(
    fc.string({ unit: 'grapheme', minLength: 3, maxLength: 24 }),
    fc.stringMatching(/^[A-Za-z]{3,12}$/),
    fc.constantFrom(
      'Łukasz Żółć',
      'Дмитрий',
      '王小明',
      'José',
      'O’Brien',
      "Joe's shop",
      'a.b-c_d',
      'user',
      'home',
      'path',
    ),
  )
  .map((text) => text.normalize('NFC').trim())
  .filter((text) => /[\p{L}\p{N}]/u.test(text) && Array.from(text).length >= 3 && !text.includes('…'))
const around = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 60 }),
  fc.constantFrom(
    'ENOENT: no such file or directory, open ',
    '    at open (file://',
    'Unexpected token ',
    '"',
    "' in '",
    'near "x": syntax error ',
    '(reading ',
  ),
)

describe('what is taken out', () => {
  test('a known word, wherever and however it stands in whatever text', () => {
    fc.assert(
      fc.property(fc.array(name, { minLength: 1, maxLength: 5 }), fc.array(around), fc.nat(), (words, texts, seed) => {
        const ways = [
          (word: string) => word,
          (word: string) => word.toUpperCase(),
          (word: string) => word.normalize('NFD'),
          (word: string) => JSON.stringify(word),
          (word: string) => `/home/${word}/Racks`,
          (word: string) => `C:\\Users\\${word}\\Racks`,
          (word: string) => `${word}${word}`,
          (word: string) => `x${word}y`,
        ]
        const text = texts
          .map((part, place) => part + ways[(seed + place) % ways.length]!(words[place % words.length]!))
          .join('')
        const left = folded(scrubber(words)(text))
        for (const word of words) expect(left).not.toContain(folded(word))
      }),
      { numRuns: 1500 },
    )
  })

  test('home, user, host and racks of this computer, from any text', () => {
    const folder = '/media/Disk 7/Ålesund wall'
    writeFileSync(join(home, 'recent-racks.json'), JSON.stringify([{ folder, name: 'Harbour wall', openedAt: '' }]))
    writeFileSync(
      join(home, 'settings.json'),
      JSON.stringify({ painter: 'Ingrid Solheim', secondPlace: 'D:\\Copies\\Ours' }),
    )
    const secrets = [
      homedir(),
      userInfo().username,
      hostname(),
      home,
      folder,
      'Ålesund wall',
      'Harbour wall',
      'Ingrid Solheim',
      'D:\\Copies\\Ours',
    ]
    expect(knownWords(home)).toEqual(expect.arrayContaining(secrets))
    const scrub = scrubber(knownWords(home))
    fc.assert(
      fc.property(fc.array(fc.oneof(around, fc.constantFrom(...secrets)), { minLength: 1 }), (parts) => {
        const left = folded(scrub(parts.join('')))
        for (const secret of secrets.filter(({ length }) => length > 2)) expect(left).not.toContain(folded(secret))
      }),
      { numRuns: 500 },
    )
  })

  test.each([
    [
      "ENOENT: no such file or directory, open '/media/My racks/P 42.jpg'",
      "ENOENT: no such file or directory, open '…'",
    ],
    ['EACCES: permission denied, mkdir "C:\\Racks\\Joe\\photos"', 'EACCES: permission denied, mkdir "…"'],
    ['could not read /media/My racks/photos/ab cd.jpg at all', 'could not read …'],
    ['could not read \\\\server\\share\\x', 'could not read …'],
    ['could not read ~/x', 'could not read …'],
    ['IMG_1234.JPG is damaged', '… is damaged'],
    ['fetch https://a.example/?token=abc failed', 'fetch … failed'],
    ['mail to anna@a.example bounced from 192.168.1.20', 'mail to … bounced from …'],
    ['key Zk3v8Qw1Yb6Nn4Rr2Tt0Uu9Pp7Ss5Ll3 is wrong', 'key … is wrong'],
    ['Unexpected token \'B\', "Blue "candy" x" is not valid JSON', 'Unexpected token \'…\', "…" is not valid JSON'],
    ['“Frank’s tank” is «gone»', '“…” is «…»'],
  ])('%s', (text, left) => {
    expect(scrubber([])(text)).toBe(left)
  })

  test.each([
    "Cannot read properties of undefined (reading 'layers')",
    'UNIQUE constraint failed: panel.code',
    'database disk image is malformed',
    'Maximum call stack size exceeded',
    "can't and won't, 3/4 of 50 % and/or none",
  ])('nothing of: %s', (text) => {
    expect(scrubber(['Anna'])(text)).toBe(text)
  })

  test('where in the program something happened stays; where anything else lies does not', () => {
    const scrub = scrubber(['anna'])
    const own = `    at open (file://${applicationFolder}/out/main/service.js:12:34)`
    expect(scrub(own)).toBe('    at open (./out/main/service.js:12:34)')
    expect(scrub('    at async Promise.all (node:internal/x:1:2)')).toBe(
      '    at async Promise.all (node:internal/x:1:2)',
    )
    expect(scrub('    at draw (http://127.0.0.1:4000/assets/index-Ab1.js:1:99)')).toBe(
      '    at draw (./assets/index-Ab1.js:1:99)',
    )
    expect(scrub('    at draw (app://local/assets/index-Ab1.js:1:99)')).toBe('    at draw (./assets/index-Ab1.js:1:99)')
    // what was scrubbed once stays as it is
    for (const line of [own, '    at draw (app://local/assets/index-Ab1.js:1:99)', "Error: “x” in '/home/anna'"])
      expect(scrub(scrub(line))).toBe(scrub(line))
    expect(scrub('    at evil (/home/anna/elsewhere.js:1:2)')).toBe('    at evil (…)')
    expect(scrub('    at anna (node:fs:1:2)')).toBe('    at … (node:fs:1:2)')
  })
})

describe('the files', () => {
  const entries = (count: number, text: string, start = 0) => {
    let at = start
    const log = troubleLog(home, 'service', () => at)
    for (let each = 0; each < count; each++) {
      log.note(`ref${each}`, 'panels.save', new Error(text))
      at += 3_000
    }
  }
  const size = () =>
    readdirSync(logsFolder(home)).reduce((sum, file) => sum + statSync(join(logsFolder(home), file)).size, 0)

  test('are bounded whatever comes, and the newest is kept', () => {
    entries(2_000, 'wrong '.repeat(400), Date.parse('2031-05-05T00:00:00Z'))
    expect(readdirSync(logsFolder(home)).toSorted()).toEqual([
      'service.1.log',
      'service.2.log',
      'service.3.log',
      'service.log',
    ])
    expect(size()).toBeLessThan(4 * 256 * 1024 + 20_000)
    expect(lastEntries(home, 1)[0]).toContain(' ref1999 ')
    expect(lastEntries(home, 12)).toHaveLength(12)
  })

  test('a fault in every frame writes some entries a minute, and says that more came', () => {
    let at = 60_000 * 1000
    const log = troubleLog(home, 'window', () => at)
    const written = Array.from({ length: 500 }, () => log.note('r', 'drawing', new TypeError('x'))).filter(
      (one) => one !== null,
    )
    expect(written).toHaveLength(30)
    expect(readFileSync(logFile(home, 'window'), 'utf8').match(/more of the same minute is left out/g)).toHaveLength(1)
    at += 60_000
    expect(log.note('r', 'drawing', new TypeError('x'))).not.toBeNull()
  })

  test('an error cannot write an entry that nobody made', () => {
    const log = troubleLog(home, 'service')
    log.note('real', 'call', new Error('a\n2031-01-01T00:00:00.000Z forged call\nb\u2028c\rd'))
    expect(lastEntries(home, 10)).toHaveLength(1)
    expect(
      readFileSync(logFile(home, 'service'), 'utf8')
        .split('\n')
        .filter((line) => /^\d{4}-/.test(line)),
    ).toHaveLength(1)
  })

  test('a folder that cannot be written ends nothing', () => {
    writeFileSync(logsFolder(home), 'a file in its place')
    expect(() => troubleLog(home, 'service').note('r', 'x', new Error('y'))).not.toThrow()
  })

  test('causes and codes are told', () => {
    const entry = troubleLog(home, 'service').note(
      'r',
      'x',
      new Error('outer', { cause: Object.assign(new Error('inner'), { code: 'EIO' }) }),
    )
    expect(entry).toMatch(/Error: outer[\s\S]*because of Error EIO: inner/)
  })
})

const draft = (title: string): Input<'panels.save'>['draft'] => ({
  id: null,
  code: null,
  title,
  status: 'sprayed',
  sprayedOn: null,
  sprayedBy: '',
  substrate: '',
  notes: '',
  tags: [],
  layers: [],
  steps: [{ id: null, coats: 1, notes: '' }],
})

describe('a bug in a call', () => {
  test('is logged without what was typed, and without what the rack calls anything', async () => {
    const service = await benchService()
    const { context, folder } = service
    await service.call('rack.create', { folder: join(folder, 'rack'), name: 'Harbour' })
    await service.call('panels.save', { draft: draft('Sunset tank for Okonkwo') })
    const throwing: Handlers = {
      ...handlers,
      'panels.save': async ({ draft: typed }) => {
        throw new Error(`no room for ${typed.title} beside Sunset tank for Okonkwo in ${folder}/rack`)
      },
    }
    const reply = await dispatch('panels.save', { draft: draft('Vermilion dream') }, context, throwing)
    expect(reply).toMatchObject({ ok: false, error: { code: 'unexpected' } })
    await context.log.settled()
    const log = readFileSync(logFile(join(folder, 'app'), 'service'), 'utf8')
    expect(log).toContain('panels.save')
    expect(log).toContain('no room for … beside … in …')
    for (const secret of ['Vermilion', 'Okonkwo', 'Sunset', folder]) expect(log).not.toContain(secret)
  })
})

test('what pages report is kept with its reference; too much of it within a minute is not', async () => {
  const { context, folder, call } = await benchService()
  const report = {
    kind: 'drawing',
    place: 'shelf',
    name: 'TypeError',
    message: 'no “Vermilion”',
    stack: '    at x (/y.js:1:1)',
  } as const
  const { reference } = await call('app.reportError', report)
  const more = await Promise.all(Array.from({ length: 44 }, () => call('app.reportError', report)))
  // a minute may end meanwhile, and no second one
  expect(more.filter((one) => one.reference === null).length).toBeGreaterThanOrEqual(5)
  await context.log.settled()
  const log = readFileSync(logFile(join(folder, 'app'), 'service'), 'utf8')
  expect(log).toContain(`${reference} page, drawing, shelf\nTypeError: no “…”\n    at x (…)`)
})

test('details hold versions, system and the last entries, and nobody’s name', () => {
  mkdirSync(join(home, 'logs'))
  // an entry of an older version, which kept what it should not have
  writeFileSync(
    logFile(home, 'service'),
    `2031-01-01T00:00:00.000Z ab12 x\nError: ${homedir()} of ${userInfo().username}\n`,
  )
  const details = gatherDetails(home, 'browser')
  expect(details).toContain(`Node ${process.versions.node}`)
  expect(details).toContain(process.platform)
  expect(details).toContain('ab12')
  for (const secret of [homedir(), home]) expect(details).not.toContain(secret)
  expect(details).not.toMatch(new RegExp(`\\b${hostname().replaceAll('.', '\\.')}\\b`))
})

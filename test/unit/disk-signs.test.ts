import { describe, expect, test } from 'vitest'
import { placeCautions } from '../../electron/rack/disk/cautions.ts'
import { folderName, mustFit } from '../../electron/rack/disk/names.ts'
import { syncSigns } from '../../electron/rack/disk/sync-signs.ts'
import { policyOn, waitBefore, withRetries } from '../../electron/rack/disk/with-retries.ts'

const failing = (code: string) => Object.assign(new Error(code), { code })

describe('trying again where a virus scanner holds a file', () => {
  const thirdTimeLucky = (code: string) => {
    let tries = 0
    return async () => {
      if (++tries < 4) throw failing(code)
      return tries
    }
  }

  test.each(['EBUSY', 'EPERM', 'EACCES'])('%s passes on Windows after a while', async (code) => {
    const waited: number[] = []
    const wait = async (ms: number) => void waited.push(ms)
    expect(await withRetries(thirdTimeLucky(code), policyOn('win32'), wait)).toBe(4)
    expect(waited).toEqual(waited.toSorted((one, other) => one - other))
    expect(waited).toHaveLength(3)
  })

  test.each(['EBUSY', 'EPERM', 'EACCES'])('%s is final elsewhere', async (code) => {
    for (const platform of ['linux', 'darwin'] as const) {
      const wait = () => Promise.reject(new Error('nothing to wait for'))
      await expect(withRetries(thirdTimeLucky(code), policyOn(platform), wait)).rejects.toMatchObject({ code })
    }
  })

  test('what does not pass is given up after about two seconds, with its own words', async () => {
    let waited = 0
    const attempt = withRetries(
      () => Promise.reject(failing('EBUSY')),
      policyOn('win32'),
      async (ms) => {
        waited += ms
      },
    )
    await expect(attempt).rejects.toMatchObject({ code: 'EBUSY' })
    expect(waited).toBeGreaterThanOrEqual(1500)
    expect(waited).toBeLessThanOrEqual(2500)
  })

  test('a full drive and a missing file are final everywhere', () => {
    for (const code of ['ENOSPC', 'ENOENT', 'EIO', 'EEXIST'])
      expect(waitBefore(policyOn('win32'), 1, failing(code))).toBeNull()
    expect(waitBefore(policyOn('win32'), 1, new Error('no code'))).toBeNull()
  })
})

describe('signs of a program that keeps folders the same', () => {
  const own = [
    'rack.sqlite',
    'rack.sqlite-wal',
    'rack.sqlite-shm',
    'photos',
    'backups',
    'renditions',
    'data-sheets',
    'lock',
  ]
  const looking = (names: readonly string[], above: readonly string[] = []) =>
    syncSigns({ names: [...own, ...names], above: [above], originals: [] })

  test('the rack’s own files, also half-done ones, are none', () => {
    expect(
      looking([
        'rack.sqlite.new',
        'rack.sqlite.new-wal',
        'rack.sqlite.incoming',
        'rack.sqlite.earlier',
        '.rack.sqlite.0197f8a0-7e4c-7b1d-9a55-0f4be2b3c111.part',
        'lock.0197f8a0-7e4c-7b1d-9a55-0f4be2b3c111',
        'restoring.json',
        'notes.txt',
        '.DS_Store',
        'desktop.ini',
      ]),
    ).toEqual({ conflicts: [], signs: [] })
  })

  test.each([
    'rack (conflicted copy 2031-05-01).sqlite',
    'rack (Wren’s conflicted copy).sqlite',
    'rack.sync-conflict-20310501-101500-ABCDEFG.sqlite',
    'rack_conf(lict)_Conflict.sqlite',
    'rack (1).sqlite',
    'rack 2.sqlite',
    'rack-BENCH-PC.sqlite',
    'rack (Konflikt bench 2031-05-01).sqlite',
    'lock (1)',
  ])('a second version: %s', (name) => {
    expect(looking([name]).conflicts).toEqual([name])
  })

  test.each([
    '.sync',
    '.sync_0123abcd.db',
    '._sync_1b2.db',
    '.csync_journal.db',
    '.sync-exclude.lst',
    '.rack.sqlite.x7.tmp',
  ])('left behind: %s', (name) => {
    expect(looking([name]).signs).toEqual([name])
  })

  test.each(['.rsync-filter', '.config', '.async', '.syncope', 'sync'])('not a sign in a folder above: %s', (name) => {
    expect(looking([], [name]).signs).toEqual([])
  })

  test('photos that take no room on the drive are stand-ins', () => {
    const originals = [
      { name: 'a.jpg', size: 5_000_000, blocks: 0 },
      { name: 'b.jpg', size: 5_000_000, blocks: 9768 },
      // small files may lie beside their names, without a block of their own
      { name: 'c.jpg', size: 900, blocks: 0 },
      // Windows does not say
      { name: 'd.jpg', size: 5_000_000, blocks: null },
    ]
    expect(syncSigns({ names: own, above: [], originals }).signs).toEqual(['1 photo that is only a stand-in'])
  })
})

describe('cautions', () => {
  const calm = {
    freeBytes: 80e9,
    databaseBytes: 2e6,
    now: new Date('2031-05-10T10:00:00Z'),
    lastChange: new Date('2031-05-10T09:00:00Z'),
    sync: { conflicts: [], signs: [] },
    keptInSync: false,
    twins: [],
  }
  const codes = (more: Partial<Parameters<typeof placeCautions>[0]>) =>
    placeCautions({ ...calm, ...more }).map(({ code }) => code)

  test('nothing is said where all is well', () => expect(codes({})).toEqual([]))
  test('little room: below half a gigabyte, or less than two copies of the records', () => {
    expect(codes({ freeBytes: 499e6 })).toEqual(['rack/low-space'])
    expect(codes({ freeBytes: 501e6 })).toEqual([])
    expect(codes({ freeBytes: 3e9, databaseBytes: 1.6e9 })).toEqual(['rack/low-space'])
    expect(codes({ freeBytes: null })).toEqual([])
  })
  test('a clock that stands more than a day before the last change', () => {
    expect(codes({ lastChange: new Date('2031-05-11T09:00:00Z') })).toEqual([])
    expect(codes({ lastChange: new Date('2031-05-11T11:00:00Z') })).toEqual(['rack/clock-behind'])
    // a rack that rested for years
    expect(codes({ lastChange: new Date('2021-05-11T11:00:00Z') })).toEqual([])
    expect(codes({ lastChange: null })).toEqual([])
  })
  test('synced by signs or by the painter’s word, conflicts, a twin', () => {
    expect(codes({ keptInSync: true })).toEqual(['rack/synced'])
    expect(codes({ sync: { conflicts: ['rack (1).sqlite'], signs: ['.sync'] } })).toEqual([
      'rack/conflict-copies',
      'rack/synced',
    ])
    expect(codes({ twins: ['/racks/other'] })).toEqual(['rack/same-twice'])
  })
  test('of two copies one is a copy of the other; of several none is said to be the first', () => {
    const said = (twins: string[]) => placeCautions({ ...calm, twins }).map(({ message }) => message)
    expect(said(['/a'])[0]).toMatch(/one is a copy of the other\.$/)
    expect(said(['/a', '/b', '/c'])[0]).toMatch(/they are copies of one rack\.$/)
  })
  test('each says what happened and what to do', () => {
    const all = placeCautions({
      ...calm,
      freeBytes: 1,
      lastChange: new Date('2041-01-01'),
      sync: { conflicts: ['a'], signs: ['b'] },
      twins: ['/x'],
    })
    expect(all).toHaveLength(5)
    for (const { message, remedy } of all) expect(`${message} ${remedy}`).toMatch(/^[A-Z].*\. [A-Z].*\.$/s)
  })
})

describe('names that every system takes', () => {
  // reserved names and endings: Microsoft Learn, Naming Files, Paths, and Namespaces
  test.each(['CON', 'con', 'nul.txt', 'COM1', 'LPT¹', 'aux'])('%s is reserved on Windows', (name) => {
    expect(folderName(name)).toBe(`Rack ${name}`)
  })
  test.each([
    ['North wall', 'North wall'],
    ['  .. wall.. ', 'wall'],
    ['a/b\\c:d*e', 'a b c d e'],
    ['', 'Rack'],
    ['…', '…'],
    ['جدار الشمال', 'جدار الشمال'],
    ['उत्तर की दीवार', 'उत्तर की दीवार'],
    ['Cafe\u0301', 'Caf\u00e9'],
    ['🎨🖌️ wall', '🎨🖌️ wall'],
    ['Console', 'Console'],
  ])('“%s” becomes “%s”', (typed, name) => {
    expect(folderName(typed)).toBe(name)
  })
  test('a long name is cut between letters, within what drives take', () => {
    const family = '👩‍👩‍👧‍👦'
    const name = folderName(family.repeat(60))
    expect(Buffer.byteLength(name)).toBeLessThanOrEqual(255)
    expect(name.replaceAll(family, '')).toBe('')
  })
  test('a folder whose path is too long is told by its length in bytes', () => {
    expect(() => mustFit(`/${'a'.repeat(399)}`)).not.toThrow()
    expect(() => mustFit(`/${'ä'.repeat(210)}`)).toThrow(/421 bytes/)
  })
})

import fc from 'fast-check'
import { afterEach, describe, expect, test } from 'vitest'
import { type Dated, isoWeek, localDay, whichToKeep } from '../../electron/rack/backups/keep.ts'

/** Which backups stay: 7 days, 4 weeks, 12 months; never the only good one; never one from after now. */

const zone = process.env.TZ
afterEach(() => {
  if (zone === undefined) delete process.env.TZ
  else process.env.TZ = zone
})

let turn = 0
const backup = (at: Date | string, more: Partial<Dated> = {}): Dated => {
  const madeAt = typeof at === 'string' ? at : at.toISOString()
  return { file: `${madeAt}-${turn++}`, madeAt, kind: 'daily', state: 'whole', ...more }
}
const dayMs = 86_400_000

/** As many days as given, a backup each, and the folder cleared after each. */
function lived(days: number, from: Date, at: (day: number) => Date = (day) => new Date(from.getTime() + day * dayMs)) {
  let folder: Dated[] = []
  for (let day = 0; day < days; day++) {
    const now = at(day)
    folder.push(backup(now))
    const kept = whichToKeep(folder, now)
    folder = folder.filter(({ file }) => kept.has(file))
  }
  return folder
}

test('weeks are those of ISO 8601', () => {
  // the standard's own rule: week 1 has the year's first Thursday; 2009-12-31, 2010-01-03 and 2008-12-29 are common examples of it
  process.env.TZ = 'UTC'
  const week = (day: string) => isoWeek(new Date(`${day}T12:00:00`))
  expect(['2009-12-31', '2010-01-03', '2010-01-04', '2008-12-29', '2026-11-26'].map(week)).toEqual([
    '2009-W53',
    '2009-W53',
    '2010-W01',
    '2009-W01',
    '2026-W48',
  ])
})

test('after two years of days there are 7 days, 4 weeks and 12 months, and no more than together 23', () => {
  const folder = lived(730, new Date('2031-02-03T09:00:00Z'))
  const distinct = (of: (at: Date) => string) => new Set(folder.map(({ madeAt }) => of(new Date(madeAt)))).size
  const last = new Date(Math.max(...folder.map(({ madeAt }) => Date.parse(madeAt))))
  const days = new Set(folder.map(({ madeAt }) => localDay(new Date(madeAt))))
  for (let back = 0; back < 7; back++) expect(days).toContain(localDay(new Date(last.getTime() - back * dayMs)))
  expect(distinct(isoWeek)).toBeGreaterThanOrEqual(4)
  expect(distinct((at) => at.toISOString().slice(0, 7))).toBe(12)
  expect(folder.length).toBeLessThanOrEqual(23)
})

test('after a holiday of a month the days before it are still there', () => {
  const folder = lived(
    40,
    new Date('2031-05-01T09:00:00Z'),
    (day) => new Date(Date.UTC(2031, 4, 1 + day + (day > 30 ? 31 : 0), 9)),
  )
  expect(folder.length).toBeGreaterThan(8)
})

describe('whatever the clock and the folder are', () => {
  const instant = fc.date({ min: new Date('2020-01-01'), max: new Date('2045-01-01'), noInvalidDate: true })
  const any = fc
    .record({
      at: instant,
      kind: fc.constantFrom('daily', 'by-hand', 'before-migration', 'before-change', 'set-aside', 'other'),
      state: fc.constantFrom('whole', 'unproven', 'damaged'),
    })
    .map(({ at, kind, state }) => backup(at, { kind, state }))
  const folder = fc.array(any, { maxLength: 60 })
  const inZone = fc.constantFrom(
    'UTC',
    'Europe/Berlin',
    'America/New_York',
    'Australia/Lord_Howe',
    'Pacific/Kiritimati',
  )

  test('the newest whole one of the past stays, and any from after now', () => {
    fc.assert(
      fc.property(folder, instant, inZone, (backups, now, tz) => {
        process.env.TZ = tz
        const kept = whichToKeep(backups, now)
        const past = backups.filter(({ madeAt }) => Date.parse(madeAt) <= now.getTime())
        const good = past.filter(({ state }) => state !== 'damaged').toSorted((a, b) => (a.madeAt < b.madeAt ? 1 : -1))
        const newest = good.filter(({ madeAt }) => madeAt === good[0]?.madeAt)
        const mustStay = good.length === 0 ? backups : backups.filter((one) => !past.includes(one))
        expect(mustStay.filter(({ file }) => !kept.has(file))).toEqual([])
        expect(good.length === 0 || newest.some(({ file }) => kept.has(file))).toBe(true)
      }),
    )
  })

  test('clearing twice removes no more than clearing once; order does not matter', () => {
    fc.assert(
      fc.property(folder, instant, inZone, (backups, now, tz) => {
        process.env.TZ = tz
        const kept = whichToKeep(backups, now)
        const left = backups.filter(({ file }) => kept.has(file))
        expect(whichToKeep(left, now)).toEqual(kept)
        // two of the very same moment may change places
        const moments = new Set(backups.map(({ madeAt }) => madeAt))
        fc.pre(moments.size === backups.length)
        expect(whichToKeep(backups.toReversed(), now)).toEqual(kept)
      }),
    )
  })

  test('daily ones are never more than 23, and a clock ahead for a while costs none of the days before', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 20_000 }), fc.integer({ min: 20, max: 60 }), inZone, (jump, days, tz) => {
        process.env.TZ = tz
        const start = new Date('2031-02-20T22:30:00Z').getTime()
        const usual = lived(days, new Date(start))
        const odd = days - 3
        // one day the clock is ahead by `jump` days, and then right again
        const jumped = lived(days, new Date(start), (day) => new Date(start + (day + (day === odd ? jump : 0)) * dayMs))
        const at = (folderOf: Dated[]) => new Set(folderOf.map(({ madeAt }) => madeAt))
        const lost = [...at(usual)].filter((madeAt) => !at(jumped).has(madeAt))
        // the day of the jump itself has no backup of its own day
        expect(lost.length).toBeLessThanOrEqual(2)
        expect(usual.length).toBeLessThanOrEqual(23)
      }),
      { numRuns: 40 },
    )
  })

  test('in the weeks when clocks change, each of seven days has its backup', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('Europe/Berlin', 'America/New_York', 'Australia/Lord_Howe'),
        fc.integer({ min: 0, max: 23 }),
        (tz, hour) => {
          process.env.TZ = tz
          for (const change of [
            new Date(2031, 2, 30),
            new Date(2031, 9, 26),
            new Date(2031, 2, 9),
            new Date(2031, 10, 2),
          ]) {
            const at = (day: number) =>
              new Date(change.getFullYear(), change.getMonth(), change.getDate() - 4 + day, hour, 30)
            const folderOf = lived(9, at(0), at)
            expect(new Set(folderOf.map(({ madeAt }) => localDay(new Date(madeAt)))).size).toBeGreaterThanOrEqual(7)
          }
        },
      ),
    )
  })
})

test('those made by hand and before a change have rules of their own', () => {
  const now = new Date('2031-06-01T12:00:00Z')
  const past = (days: number) => new Date(now.getTime() - days * dayMs)
  const made = (count: number, more: Partial<Dated>, each: number) =>
    Array.from({ length: count }, (_, i) => backup(past(1 + i * each), more))
  const keptOf = (backups: Dated[]) => whichToKeep(backups, now).size
  expect(keptOf(made(20, { kind: 'by-hand' }, 10))).toBe(12)
  expect(keptOf(made(20, { kind: 'before-migration' }, 30))).toBe(6)
  expect(keptOf(made(20, { kind: 'before-change' }, 1))).toBe(14)
  expect(keptOf(made(20, { kind: 'before-change' }, 30))).toBe(6)
  const good = backup(past(0))
  expect(keptOf([good, ...made(20, { kind: 'set-aside', state: 'damaged' }, 40)])).toBe(1 + 3)
  expect(keptOf([good, ...made(20, { kind: 'other' }, 40)])).toBe(21)
  // a damaged daily one takes no place of a good one, and is shown for a month
  expect(keptOf([good, ...made(6, { state: 'damaged' }, 10)])).toBe(1 + 3)
})

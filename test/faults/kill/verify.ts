import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { migrations } from '../../../electron/rack/migrations/list.ts'
import { allRows, differences, hashOf, inCopy, unsoundness, wrongBackups, wrongOriginals } from '../kit/inspect.ts'
import { difference, panelsIn } from '../kit/shop.ts'
import { begin, openIn, settled, waitingIn } from '../kit/shop-service.ts'
import { Ended } from '../service-process.ts'
import type { Life } from './life.ts'
import { relinkAgain, repaired } from './more-moments.ts'
import { keptTables } from './old-racks.ts'

type Found = { broken: string[]; acknowledged: number; openMs: number }

/** What has to be true of a rack whose service was killed, whatever it was doing. */
export async function afterKill(life: Life): Promise<Found> {
  const { place, shop, intake } = life
  const broken: string[] = []
  const heard = [...life.service.acknowledged.values()].filter(({ fate }) => fate === 'taken')
  if (life.repairing) {
    // it was broken by hand: what comes of it is looked at once it is open
  } else if (existsSync(join(place.rack, 'rack.sqlite'))) {
    broken.push(...inCopy(place.rack, unsoundness))
    // one that is being undone and done again is there as a whole or not at all: see trayKept
    if (!life.restoring && !intake?.undoing)
      broken.push(
        ...photosKept(
          life,
          heard.map(({ photoId }) => photoId ?? ''),
        ),
      )
  } else if (!life.restoring) broken.push('rack.sqlite is gone')
  broken.push(...wrongOriginals(place.rack).map((name) => `${name} is not what its name says`))

  const openMs = await openAgain(life, broken)
  const { service } = life
  await settled(service)
  broken.push(...wrongBackups(place.rack))

  const found = await panelsIn(service.call)
  const asked = life.pending
  const wrong = difference(shop.panels, found)
  if (life.restoring && life.backup) {
    if (wrong !== null && difference(life.backup.panels, found) !== null)
      broken.push(`neither what was there nor the backup: ${wrong}`)
    if (wrong !== null) life.tray = new Set(life.backup.tray)
    shop.panels = found
    shop.forgetHistory()
  } else if (wrong !== null && life.merging) {
    // all of theirs, or nothing
    const { ids } = life.merging
    const ours = new Map([...found].filter(([id]) => !ids.has(id)))
    const half = difference(shop.panels, ours) ?? (found.size - ours.size === ids.size ? null : 'a part of the merge')
    if (half !== null) broken.push(half)
    shop.panels = found
    shop.forgetHistory()
  } else if (wrong !== null) {
    if (asked?.fits(found)) shop.note(asked, found)
    else broken.push(`${wrong} (asked and not answered: ${asked?.name ?? 'nothing'})`)
  }
  broken.push(...(await trayKept(life)), ...(await relinkAgain(life)))
  if (intake) shop.forgetHistory()
  if (life.repairing) broken.push(...inCopy(place.rack, unsoundness))
  return { broken, acknowledged: shop.panels.size + heard.length + life.tray.size, openMs }
}

/** Photos that were acknowledged have their rows, and their originals are on the drive. */
function photosKept({ place }: Life, ids: readonly string[]): string[] {
  const rows = inCopy(place.rack, (raw) => raw.prepare('select id, sha256, format from photo').all()) as {
    id: string
    sha256: string
  }[]
  const byId = new Map(rows.map((row) => [row.id, row.sha256]))
  return ids.flatMap((id) => {
    const sha256 = byId.get(id)
    if (sha256 === undefined) return [`photo ${id} was acknowledged and has no row`]
    const path = join(place.rack, 'photos', sha256.slice(0, 2), `${sha256}.jpg`)
    return existsSync(path) && hashOf(path) === sha256 ? [] : [`the original of photo ${id} is not there`]
  })
}

async function trayKept(life: Life): Promise<string[]> {
  const { intake, service } = life
  const ids = await waitingIn(service)
  const broken = [...life.tray].filter((id) => !ids.has(id)).map((id) => `photo ${id} is no longer in the tray`)
  const come = [...ids].filter((id) => !life.tray.has(id)).length
  const wanted = intake?.files.length ?? 0
  // an intake goes on by itself when its rack is opened; one that was not acknowledged may not have begun
  const mayBe = !intake ? [0] : intake.promised && !intake.undoing ? [wanted] : [0, wanted]
  if (!mayBe.includes(come)) broken.push(`${come} photos of ${wanted} came into the tray`)
  life.tray = ids
  return broken
}

/** A rack that was being brought to this version opens, with all that it had. */
export async function afterMigration(life: Life): Promise<Found> {
  const { place } = life
  const broken: string[] = inCopy(place.rack, unsoundness)
  // columns come and none of these goes: what each row had, it has
  const before = inCopy(place.rack, (raw) => allRows(raw, keptTables))
  const openMs = await openAgain(life, broken)
  broken.push(...wrongBackups(place.rack))
  await life.service.leave()
  const version = inCopy(place.rack, (raw) => raw.pragma('user_version', { simple: true }))
  if (version !== migrations.length) broken.push(`its version is ${String(version)}`)
  broken.push(...inCopy(place.rack, unsoundness))
  const after = inCopy(place.rack, (raw) => allRows(raw, keptTables))
  broken.push(...differences(narrowed(before), narrowed(after)))
  return { broken, acknowledged: Object.values(before).flat().length, openMs }
}

/** Only what the first version had in these tables. */
const narrowed = (rows: Record<string, unknown[]>): Record<string, unknown[]> =>
  Object.fromEntries(
    Object.entries(rows).map(([table, all]) => [
      table,
      all
        .map((row) => {
          const { id, panel_id, position, name, code, title, notes, coats, kelvin } = JSON.parse(String(row)) as Record<
            string,
            unknown
          >
          return JSON.stringify({ id, panel_id, position, name, code, title, notes, coats, kelvin })
        })
        .toSorted(),
    ]),
  )

/** A fresh service opens the rack, whatever lock lies in it. @returns how long that took */
async function openAgain(life: Life, broken: string[]): Promise<number> {
  life.service = begin(life.place)
  await life.service.call('service.describe', {})
  const from = performance.now()
  try {
    const info = await openIn(life.service, life.place).catch(async (error: { code?: string }) => {
      if (!life.repairing || error.code === 'rack/locked') throw error
      await repaired(life)
      return openIn(life.service, life.place)
    })
    if (!life.repairing)
      for (const { code, message } of info.cautions ?? []) broken.push(`a caution: ${code}: ${message}`)
  } catch (error) {
    if (error instanceof Ended) throw error
    throw Object.assign(new Error(`it could not be opened again: ${(error as Error).message}`), {
      code: (error as { code?: string }).code,
    })
  }
  const openMs = performance.now() - from
  const lock = JSON.parse(readFileSync(join(life.place.rack, 'lock'), 'utf8')) as { pid: number }
  if (lock.pid !== life.service.child.pid) broken.push(`the lock names process ${lock.pid}`)
  return openMs
}

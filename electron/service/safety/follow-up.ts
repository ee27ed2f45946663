import { join } from 'node:path'
import { carryOver, readSetAside } from '../../rack/backups/carry-over.ts'
import { backupsOf, readFacts, readName } from '../../rack/backups/facts.ts'
import { dropRestored, readRestored } from '../../rack/backups/settle.ts'
import { noteEvent } from '../../rack/history/events.ts'
import type { Context } from '../context.ts'
import { type TakenUnknown, takeUnknown } from './unknown-photos.ts'

export type FollowedUp = { setAside: string | null; photos: TakenUnknown }

/**
 * Looks after what records that went back do not know: codes that were given since, photos that were taken in since. Done once after
 * each restore, also when the computer stopped in between.
 * @returns null where nothing was to be followed up
 */
export async function followUpRestore(
  context: Pick<Context, 'current' | 'appFiles' | 'emit'>,
  folder: string,
  onProgress: (done: number, total: number) => void,
): Promise<FollowedUp | null> {
  const note = await readRestored(folder)
  const opened = context.current.get()
  // one that is only looked at is followed up where it is worked on
  if (!note || opened?.folder !== folder || opened.access.mode !== 'full') return null
  const { backup, setAside } = note
  const facts = await readFacts(join(backupsOf(folder), backup))
  const before = setAside === null ? null : await readSetAside(folder, setAside)
  if (before && (await carryOver(opened.db, before, (facts?.rackId ?? '') !== ''))) {
    // an open rack knows the name that it was opened with
    await context.current.close()
    await context.current.open(folder)
  }
  const rack = context.current.get()
  if (!rack) return null
  const photos = await takeUnknown(rack, {
    named: before && new Map(before.photos.map((photo) => [photo.sha256, photo])),
    onProgress,
  })
  const madeAt = facts?.madeAt ?? readName(backup)?.madeAt
  await noteEvent(rack.db, {
    kind: 'restored',
    // the screen says the moment in the user's own way
    label: madeAt ? `put back to the backup of ${madeAt}` : `put back to the backup “${backup}”`,
    who: context.appFiles.settings().painter,
  })
  await dropRestored(folder)
  const { revision } = await rack.db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
  context.emit({ name: 'rack.changed', data: { revision } })
  return { setAside, photos }
}

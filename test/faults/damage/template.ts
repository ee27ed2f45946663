import { cpSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Random } from '../fuzz/random.ts'
import { allRows, inCopy, type Rows } from '../kit/inspect.ts'
import { photoSupply } from '../kit/many-photos.ts'
import { Shop } from '../kit/shop.ts'
import { begin, ended, openIn, placeIn, settled } from '../kit/shop-service.ts'

/** A rack as it lay there before it was harmed. */
export type Template = {
  folder: string
  rows: Rows
  /** Backups in it, newest first, and what each holds. */
  backups: { file: string; rows: Rows }[]
}

/**
 * One life of a rack, copied twice: closed as it should be, and as it lies there after its service was killed, with its
 * log. The log of an earlier moment lies beside.
 */
export async function templates(
  folder: string,
  random: Random,
  panels: number,
): Promise<{ closed: Template; killed: Template; olderLog: string; sources: string }> {
  const place = placeIn(join(folder, 'life'))
  let service = begin(place)
  const shop = new Shop(random)
  const photos = await photoSupply(join(folder, 'photos'))
  const backUp = async () => {
    const { jobId } = (await service.call('backups.make', {})) as { jobId: string }
    await ended(service, jobId)
  }
  await service.call('rack.create', { folder: place.rack, name: 'Harmed' })
  for (let i = 0; i < panels; i++) await shop.perform(shop.add(), service.call)
  await service.call('photos.takeIn', { files: photos(12).map(({ path, name }) => ({ path, name })) })
  await settled(service)
  // what is undone next would be the photos
  shop.forgetHistory()
  await backUp()
  for (let i = 0; i < 12; i++) await shop.perform(shop.next(panels + 5), service.call)
  await backUp()
  for (let i = 0; i < 6; i++) await shop.perform(shop.edit(), service.call)
  await service.leave()
  const closed = keep(place.rack, join(folder, 'closed'))

  service = begin(place)
  await openIn(service, place)
  for (let i = 0; i < 8; i++) await shop.perform(shop.next(panels + 5), service.call)
  const olderLog = join(folder, 'older-log')
  cpSync(join(place.rack, 'rack.sqlite-wal'), olderLog)
  for (let i = 0; i < 8; i++) await shop.perform(shop.edit(), service.call)
  await service.kill()
  const killed = keep(place.rack, join(folder, 'killed'))
  return { closed, killed, olderLog, sources: join(folder, 'photos') }
}

function keep(rack: string, to: string): Template {
  cpSync(rack, to, { recursive: true, preserveTimestamps: true })
  const backups = readdirSync(join(to, 'backups'))
    .filter((name) => name.endsWith('.sqlite'))
    .toSorted()
    .toReversed()
    .map((file) => ({ file, rows: inCopy(join(to, 'backups'), allRows, file) }))
  return { folder: to, rows: inCopy(to, allRows), backups }
}

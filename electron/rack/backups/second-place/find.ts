import { readdir } from 'node:fs/promises'
import { join } from 'node:path'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import type { PlaceFound } from '../../../../shared-core/records/backup.ts'
import { listBackups } from '../list.ts'
import { noGoodBackup } from '../refusals.ts'
import { readMarker } from './place.ts'

/** As many folders inside the one that is named are looked into. */
const mostFolders = 500

/**
 * Second places at a folder: itself, or those that lie directly in it, as the painter names the folder that was chosen, in which
 * each rack got one of its own. A rack's own folder counts as well where it is named itself: its backups and photos make a rack again.
 * @throws Refusal `rack/folder-absent`
 */
export async function findPlaces(folder: string): Promise<PlaceFound[]> {
  const itself = await placeAt(folder)
  if (itself) return [itself]
  const inside = await readdir(folder, { withFileTypes: true })
  const found: PlaceFound[] = []
  for (const entry of inside.filter((one) => one.isDirectory() && !one.name.startsWith('.')).slice(0, mostFolders)) {
    const place = await placeAt(join(folder, entry.name)).catch(() => null)
    if (place && (await readMarker(place.folder))) found.push(place)
  }
  return found.toSorted((a, b) => ((a.newest ?? '') < (b.newest ?? '') ? 1 : -1))
}

/** The one second place at a folder. @throws Refusal `rack/folder-absent`, `backup/none-good`, `second-place/several` */
export async function thePlace(folder: string): Promise<string> {
  const found = (await findPlaces(folder)).filter(({ newest }) => newest !== null)
  const [first, ...others] = found
  if (!first) throw noGoodBackup(folder)
  if (others.length > 0) throw several(folder, found)
  return first.folder
}

async function placeAt(folder: string): Promise<PlaceFound | null> {
  const backups = await listBackups(folder, 'quick')
  const marker = await readMarker(folder)
  if (!marker && backups.length === 0) return null
  const usable = backups.find(({ state }) => state !== 'damaged')
  return { folder, rackName: marker?.rackName ?? '', newest: usable?.madeAt ?? null }
}

const several = (folder: string, places: readonly PlaceFound[]) =>
  new Refusal(
    'second-place/several',
    `${places.length} second places lie in ${folder}.`,
    'Choose the folder of the one that is wanted.',
  )

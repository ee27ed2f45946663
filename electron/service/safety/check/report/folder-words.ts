import { basename } from 'node:path'
import type { Finding } from '../../../../../shared-core/records/check.ts'
import type { RunFound } from '../../../../rack/check/progress.ts'
import type { UnknownFile } from '../../../../rack/check/walk.ts'
import { item, mostItems } from './items.ts'
import { be, counted, sizeInWords } from './words.ts'

/** What lies in the rack's folders and is not named, or was left half done. @param left  paths that are fine where they are */
export function foldersInWords({ walked, renamed }: RunFound, left: ReadonlySet<string>): Finding[] {
  const unknown = (walked?.unknown ?? []).filter(({ path }) => !left.has(path))
  return [
    strangers(
      unknown.filter(({ kind, isPicture }) => kind === 'photos' && isPicture),
      true,
    ),
    strangers(
      unknown.filter(({ kind, isPicture }) => kind !== 'photos' || !isPicture),
      false,
    ),
    halfDone(walked?.halfDone ?? { count: 0, byteCount: 0 }),
    loosePictures(walked?.pictures.unknown ?? { count: 0, byteCount: 0 }),
    putBack(renamed),
  ].flatMap((finding) => finding ?? [])
}

const itemsOf = (files: readonly UnknownFile[]) =>
  files
    .slice(0, mostItems)
    .map(({ path, byteCount }) => item(basename(path), `${path}, ${sizeInWords(byteCount)}`, { path }))

function strangers(files: readonly UnknownFile[], arePhotos: boolean): Finding | null {
  if (files.length === 0) return null
  const what = arePhotos ? 'photo' : 'file'
  return {
    code: arePhotos ? 'unknown-photos' : 'unknown-files',
    weight: 'note',
    title: `${counted(files.length, what)} in the rack’s folder ${be(files.length)} unknown`,
    means: arePhotos
      ? 'They lie among the originals, and no record names them: copied there by hand, or left when the records were put back to an earlier day.'
      : 'They lie among the originals or data sheets, and are nothing that the rack put there.',
    safe: 'Nothing of yours depends on them, and nothing is deleted.',
    todo: arePhotos
      ? 'Take them into the tray, move them to the folder “unknown” inside the rack, or leave them where they are.'
      : 'Move them to the folder “unknown” inside the rack, or leave them where they are.',
    count: files.length,
    items: itemsOf(files),
    actions: arePhotos ? ['take-in', 'set-aside', 'leave'] : ['set-aside', 'leave'],
  }
}

function halfDone({ count, byteCount }: { count: number; byteCount: number }): Finding | null {
  if (count === 0) return null
  return {
    code: 'half-done',
    weight: 'note',
    title: `${counted(count, 'copy', 'copies')} ${be(count)} left half done`,
    means: `A copy was cut short, by a power cut for instance. They take ${sizeInWords(byteCount)}.`,
    safe: 'A copy counts only once it is whole: none of these was ever used.',
    todo: 'Clear them away.',
    count,
    items: [],
    actions: ['clear-half-done'],
  }
}

function loosePictures({ count, byteCount }: { count: number; byteCount: number }): Finding | null {
  if (count === 0) return null
  return {
    code: 'loose-pictures',
    weight: 'note',
    title: `${counted(count, 'small picture')} ${count === 1 ? 'belongs' : 'belong'} to nothing any more`,
    means: `Pictures for the screen, of photos or areas that are no longer in the rack. They take ${sizeInWords(byteCount)}.`,
    safe: 'They are made from the originals, and can be made again at any time.',
    todo: 'Clear them away where room is short.',
    count,
    items: [],
    actions: ['clear-pictures'],
  }
}

function putBack(names: readonly string[]): Finding | null {
  if (names.length === 0) return null
  return {
    code: 'original-renamed',
    weight: 'mended',
    title: `${counted(names.length, 'original')} had another name and ${be(names.length)} back in ${names.length === 1 ? 'its' : 'their'} place`,
    means: 'Somebody renamed or moved them inside the rack’s folder. They were known by their content.',
    safe: 'They are whole.',
    todo: 'Nothing. The file under the other name is still there, and is told of as unknown.',
    count: names.length,
    items: names.slice(0, mostItems).map((name) => item(name, '')),
    actions: [],
  }
}

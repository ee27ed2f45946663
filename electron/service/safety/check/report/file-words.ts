import type { Finding } from '../../../../../shared-core/records/check.ts'
import type { BroughtBack, RunFound, TroubledFile } from '../../../../rack/check/progress.ts'
import { item, mostItems } from './items.ts'
import { be, counted, sizeInWords } from './words.ts'

/** Lost and damaged originals and data sheets. @param there  hashes of lost ones that lie there again */
export function filesInWords(
  troubled: readonly TroubledFile[],
  there: ReadonlySet<string>,
  { walked, broughtBack }: Pick<RunFound, 'walked' | 'broughtBack'>,
): Finding[] {
  const photos = troubled.filter(({ photoId }) => photoId !== null)
  const sheets = troubled.filter(({ photoId }) => photoId === null)
  // a photo that was discarded, and whose original was cleared away, is what the painter wanted, unless it came back
  const missing = photos.filter(({ found, discarded }) => found === 'missing' || (found === 'cleared' && !discarded))
  const returned = missing.filter(({ sha256 }) => there.has(sha256))
  return [
    lost(
      missing.filter(({ sha256 }) => !there.has(sha256)),
      walked?.pictures.missing ?? 0,
    ),
    damaged(photos.filter(({ found }) => found === 'damaged')),
    back(broughtBack),
    again(returned),
    sheetsGone(sheets),
  ].flatMap((finding) => finding ?? [])
}

const itemOf = (file: TroubledFile) =>
  item(
    file.name,
    [
      file.byteCount === null ? '' : sizeInWords(file.byteCount),
      file.panelCode === null ? 'in the tray' : '',
      file.discarded ? 'discarded' : '',
    ]
      .filter(Boolean)
      .join(', '),
    { photoId: file.discarded ? null : file.photoId, panelCode: file.panelCode },
  )

const itemsOf = (files: readonly TroubledFile[]) => files.slice(0, mostItems).map(itemOf)

/** @param pictureless  photos whose small pictures were not there either */
function lost(files: readonly TroubledFile[], pictureless: number): Finding | null {
  if (files.length === 0) return null
  const live = files.filter(({ discarded }) => !discarded).length
  return {
    code: 'original-missing',
    weight: live > 0 ? 'lost' : 'note',
    title: `${counted(files.length, 'original')} ${be(files.length)} missing`,
    means:
      'The photo’s own file is not in the rack’s folder any more: it was deleted or moved by hand, or a drive did not give it back.',
    safe: `Every reading, mark and filing is safe${pictureless === 0 ? ', and the small pictures go on being shown' : ''}.${
      pictureless > 0
        ? ` Small pictures of ${counted(pictureless, 'photo')} are not there either: they can be made again only from the original.`
        : ''
    }`,
    todo: 'Give the card, phone export or backup that still has it: it is known by its content, whatever it is called now. Without it the photo cannot be read anew.',
    count: files.length,
    items: itemsOf(files),
    actions: ['relink'],
  }
}

function damaged(files: readonly TroubledFile[]): Finding | null {
  if (files.length === 0) return null
  return {
    code: 'original-damaged',
    weight: 'harm',
    title: `${counted(files.length, 'original')} ${be(files.length)} damaged`,
    means:
      'The file’s bytes are not those that were taken in. A drive that fails does this, or a program that “improved” it.',
    safe: 'What was read from it before stays as it is. Nothing is deleted: the damaged file stays until a whole one takes its place.',
    todo: 'Give the card, phone export or backup that still has it. Copy the rack to another drive soon: one that altered a file will alter others.',
    count: files.length,
    items: itemsOf(files),
    actions: ['relink'],
  }
}

export const broughtBackCode = 'original-brought-back'

function back(files: readonly BroughtBack[]): Finding | null {
  const [first] = files
  if (!first) return null
  const was = files.every((file) => file.was === first.was) ? first.was : 'damaged or missing'
  const [were, they] = files.length === 1 ? ['was', 'It is'] : ['were', 'They are']
  return {
    code: broughtBackCode,
    weight: 'mended',
    title: `${counted(files.length, 'original')} ${were} ${was} and ${were} brought back from the second place`,
    means:
      'A sign that the drive is failing. A program that alters or deletes files in the rack’s folder, or a hand, does the same.',
    safe: `${they} whole again, byte for byte as taken in.`,
    todo: 'Have an eye on this drive: copy the rack to another one soon, and look through everything again in a few days. If more come, do not trust it any longer.',
    count: files.length,
    items: files.slice(0, mostItems).map((file) => item(file.name, `was ${file.was}`)),
    actions: [],
  }
}

function again(files: readonly TroubledFile[]): Finding | null {
  if (files.length === 0) return null
  return {
    code: 'original-again',
    weight: 'note',
    title: `${counted(files.length, 'original')} that ${files.length === 1 ? 'was' : 'were'} missing ${be(files.length)} there again`,
    means: 'A file lies in its place; whether it is whole is seen at the next look through.',
    safe: 'Nothing is lost.',
    todo: 'Look through everything once more.',
    count: files.length,
    items: itemsOf(files),
    actions: [],
  }
}

function sheetsGone(files: readonly TroubledFile[]): Finding | null {
  if (files.length === 0) return null
  return {
    code: 'data-sheet',
    weight: 'lost',
    title: `${counted(files.length, 'data sheet')} ${be(files.length)} missing or damaged`,
    means: 'The maker’s sheet that was kept in the rack is not there any more, or not as it was taken in.',
    safe: 'The material and everything written about it is safe.',
    todo: 'Give the file or a folder that holds it, or attach it anew on the shelf.',
    count: files.length,
    items: files.slice(0, mostItems).map(({ name, found }) => item(name, found === 'damaged' ? 'damaged' : 'missing')),
    actions: ['relink'],
  }
}

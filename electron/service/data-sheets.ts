import { copyFile } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Material } from '../../shared-core/records/mixture.ts'
import { openOrdinary } from '../rack/disk/ordinary-file.ts'
import { pathByHash, storeByHash } from '../rack/disk/photo-store.ts'
import type { Rack } from '../rack/opening/open.ts'
import { isDiskFull } from '../rack/refusals.ts'
import type { Context } from './context.ts'
import { dropStaged } from './link/app-folder.ts'
import { confined } from './link/files.ts'

/** Makers' data sheets, kept in the rack as they came. */

const mostBytes = 40 * 1024 * 1024

/** By their first bytes: ISO 32000-2, 7.5.2 (a PDF's header); ISO 10918-1, B.1.1.3 (SOI); ISO 15948, 5.2 (PNG's signature). */
const kinds: readonly { extension: 'pdf' | 'jpg' | 'png'; starts: readonly number[] }[] = [
  { extension: 'pdf', starts: [0x25, 0x50, 0x44, 0x46, 0x2d] },
  { extension: 'jpg', starts: [0xff, 0xd8, 0xff] },
  { extension: 'png', starts: [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a] },
]

/** @throws Refusal `file/unreadable`, `file/too-large`, `file/other-kind` */
async function kindOf(path: string): Promise<string> {
  const head = Buffer.alloc(8)
  let size: number
  try {
    const handle = await openOrdinary(path)
    try {
      size = (await handle.stat()).size
      await handle.read(head, 0, head.length, 0)
    } finally {
      await handle.close()
    }
  } catch {
    throw unreadable()
  }
  if (size > mostBytes) {
    throw new Refusal(
      'file/too-large',
      'This data sheet is larger than 40 MB.',
      'Save it smaller, or keep it elsewhere and type its link.',
    )
  }
  const kind = kinds.find(({ starts }) => starts.every((byte, at) => head[at] === byte))
  if (kind) return kind.extension
  throw new Refusal(
    'file/other-kind',
    'This file is no PDF, JPEG or PNG.',
    'Save the data sheet as PDF, or photograph it and take the picture.',
  )
}

/** Keeps a file in the rack; a staged upload goes once it is safe. @throws Refusal as `kindOf`, and of the disk */
export async function keepDataSheet(
  context: Context,
  rack: Rack,
  path: string,
): Promise<NonNullable<Material['dataSheetFile']>> {
  const extension = await kindOf(path)
  const name = nameFor(path, extension)
  try {
    const { sha256 } = await storeByHash(rack.folder, 'data-sheets', path, extension)
    await dropStaged(context.appFiles.folder, path)
    return { sha256, name }
  } catch (error) {
    if (error instanceof Refusal && error.code === 'photo/unreadable') throw unreadable()
    throw error
  }
}

/** What it is called, with the extension of what it is. */
function nameFor(path: string, extension: string): string {
  const stem =
    basename(path)
      .replace(/\.[A-Za-z0-9]{1,5}$/u, '')
      .trim() || 'data sheet'
  return `${stem.slice(0, 150)}.${extension}`
}

/** A copy on its way to the reader: nobody gets to write on the rack's own. @throws Refusal `file/unreadable` */
export async function openDataSheet(
  context: Context,
  rack: Rack,
  { dataSheetFile, name }: Material,
): Promise<{ documentId: string; fileName: string }> {
  if (dataSheetFile === null) {
    throw new Refusal('file/unreadable', `${name} has no data sheet.`, 'Attach it on the shelf.')
  }
  const extension = dataSheetFile.name.split('.').at(-1) ?? 'pdf'
  // a rack may come from anywhere: neither its names nor a link in it lead out of its folder, or to another kind of file
  const kept = await confined(
    join(rack.folder, 'data-sheets'),
    pathByHash(rack.folder, 'data-sheets', dataSheetFile.sha256, extension),
  )
  try {
    if (!kept || (await kindOf(kept.path)) !== extension) throw unreadable()
    const documentId = await context.documents.add(dataSheetFile.name, (path) => copyFile(kept.path, path))
    return { documentId, fileName: dataSheetFile.name }
  } catch (error) {
    throw isDiskFull(error) ? error : unreadable()
  }
}

const unreadable = () =>
  new Refusal(
    'file/unreadable',
    'The data sheet could not be read.',
    'Look whether it is still there, and attach it again.',
  )

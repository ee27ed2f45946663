import { type FileHandle, open } from 'node:fs/promises'
import { brandsOf, type Sniffed, sniff } from '../../shared-core/exchange/read/signature.ts'

/** Whether an AVIF or HEIF file says that a gain map lies beside its picture (brand `tmap`, ISO 21496-1). */
export async function namesGainMap(path: string): Promise<boolean> {
  return brandsOf(await headOf(path))?.includes('tmap') ?? false
}

async function headOf(path: string): Promise<Uint8Array> {
  const file = await open(path, 'r')
  try {
    const bytes = new Uint8Array(headBytes)
    const { bytesRead } = await file.read(bytes, 0, bytes.length, 0)
    return bytes.subarray(0, bytesRead)
  } finally {
    await file.close()
  }
}

/** Also looks past the first bytes of a TIFF: raw files of cameras begin like one. */
export async function sniffFile(path: string): Promise<Sniffed> {
  const file = await open(path, 'r')
  try {
    const bytes = new Uint8Array(headBytes)
    const { bytesRead } = await file.read(bytes, 0, bytes.length, 0)
    const sniffed = sniff(bytes.subarray(0, bytesRead))
    return sniffed === 'tiff' ? await whichTiff(file, bytes) : sniffed
  } finally {
    await file.close()
  }
}

const headBytes = 1024
const tags = { newSubfileType: 254, subIfds: 330, dngVersion: 50706 }

/**
 * Whether a TIFF is a camera's raw file: it says so (DNG), or its first picture is a thumbnail of one kept elsewhere (raw),
 * and that thumbnail would be read for the photo.
 * Sources: TIFF 6.0 section 2 (directory entries) and 8 (NewSubfileType, bit 0: reduced); TIFF Supplement 1 (SubIFDs);
 * Digital Negative 1.6 (DNGVersion).
 */
async function whichTiff(file: FileHandle, head: Uint8Array): Promise<'tiff' | 'dng' | 'raw'> {
  const isLittle = head[0] === 0x49
  const header = new DataView(head.buffer)
  if (header.getUint16(2, isLittle) !== 42) return 'tiff'
  const entries = new Uint8Array(2 + 12 * 200)
  const { bytesRead } = await file.read(entries, 0, entries.length, header.getUint32(4, isLittle))
  if (bytesRead < 2) return 'tiff'
  const directory = new DataView(entries.buffer, 0, bytesRead)
  let isThumbnail = false
  let hasOthers = false
  for (let i = 0; i < directory.getUint16(0, isLittle) && 14 + 12 * i <= bytesRead; i++) {
    const tag = directory.getUint16(2 + 12 * i, isLittle)
    if (tag === tags.dngVersion) return 'dng'
    if (tag === tags.subIfds) hasOthers = true
    if (tag === tags.newSubfileType) isThumbnail = (directory.getUint32(10 + 12 * i, isLittle) & 1) === 1
  }
  return isThumbnail && hasOthers ? 'raw' : 'tiff'
}

import type { FileHandle } from 'node:fs/promises'
import { limits } from '../form.ts'
import { archiveDamaged, archiveSuspicious, notAnArchive } from '../refusals.ts'

/** Where the central directory lies, and what it says it holds. */
export type Directory = { offset: number; byteCount: number; entries: number }

const endBytes = 22
const locatorBytes = 20
const end64Bytes = 56

/** All of `byteCount` bytes at `offset`. @throws Refusal when the file ends before */
export async function readAt(file: FileHandle, offset: number, byteCount: number): Promise<Buffer> {
  const bytes = Buffer.alloc(byteCount)
  let done = 0
  while (done < byteCount) {
    const { bytesRead } = await file.read(bytes, done, byteCount - done, offset + done)
    if (bytesRead === 0) throw archiveDamaged('it ends before its contents do')
    done += bytesRead
  }
  return bytes
}

/** A 64-bit number that can be a place in this file. */
function within(bytes: Buffer, at: number, fileSize: number): number {
  const value = bytes.readBigUInt64LE(at)
  if (value > BigInt(fileSize)) throw archiveDamaged('its table of contents names places outside of the file')
  return Number(value)
}

/**
 * Finds the central directory from the end of the file. The end has to be where the file ends, without a comment: what
 * programs do not agree on can hide one archive in another.
 * Source: PKWARE, APPNOTE.TXT 6.3, 4.3.14 to 4.3.16.
 */
export async function findDirectory(file: FileHandle, fileSize: number): Promise<Directory> {
  if (fileSize < endBytes) throw notAnArchive('it is too short')
  const start = await readAt(file, 0, 4)
  const isZip = start.readUInt32LE(0) === 0x04034b50
  const endAt = fileSize - endBytes
  const end = await readAt(file, endAt, endBytes)
  if (end.readUInt32LE(0) !== 0x06054b50) {
    if (!isZip) throw notAnArchive('it is no ZIP file')
    throw archiveDamaged('its end is missing, or something was put behind it')
  }
  if (!isZip) throw archiveSuspicious('something stands before its first file')
  if (end.readUInt16LE(20) !== 0) throw archiveSuspicious('there is a comment at its end')
  const classic = {
    disk: end.readUInt16LE(4),
    directoryDisk: end.readUInt16LE(6),
    here: end.readUInt16LE(8),
    entries: end.readUInt16LE(10),
    byteCount: end.readUInt32LE(12),
    offset: end.readUInt32LE(16),
  }
  const locator = endAt >= locatorBytes ? await readAt(file, endAt - locatorBytes, locatorBytes) : null
  if (locator?.readUInt32LE(0) !== 0x07064b50) {
    if (classic.disk !== 0 || classic.directoryDisk !== 0 || classic.here !== classic.entries)
      throw archiveSuspicious('it says that it is spread over several disks')
    return checked({ offset: classic.offset, byteCount: classic.byteCount, entries: classic.entries }, endAt)
  }
  const end64At = endAt - locatorBytes - end64Bytes
  if (locator.readUInt32LE(4) !== 0 || locator.readUInt32LE(16) > 1)
    throw archiveSuspicious('it says that it is spread over several disks')
  if (end64At < 0 || within(locator, 8, fileSize) !== end64At)
    throw archiveSuspicious('its long end is not where it has to be')
  const end64 = await readAt(file, end64At, end64Bytes)
  if (end64.readUInt32LE(0) !== 0x06064b50 || end64.readBigUInt64LE(4) !== BigInt(end64Bytes - 12))
    throw archiveSuspicious('its long end is not as it has to be')
  if (end64.readUInt32LE(16) !== 0 || end64.readUInt32LE(20) !== 0)
    throw archiveSuspicious('it says that it is spread over several disks')
  const entries = within(end64, 32, fileSize)
  const byteCount = within(end64, 40, fileSize)
  const offset = within(end64, 48, fileSize)
  const agrees = (short: number, mask: number, long: number) => short === mask || short === long
  if (
    within(end64, 24, fileSize) !== entries ||
    !agrees(classic.entries, 0xffff, entries) ||
    !agrees(classic.byteCount, 0xffffffff, byteCount) ||
    !agrees(classic.offset, 0xffffffff, offset)
  )
    throw archiveSuspicious('its two ends do not say the same')
  return checked({ offset, byteCount, entries }, end64At)
}

function checked(directory: Directory, endAt: number): Directory {
  const { offset, byteCount, entries } = directory
  if (entries > limits.members) throw archiveSuspicious(`it says that it holds ${entries} files`)
  if (byteCount > limits.directoryBytes) throw archiveSuspicious('its table of contents is larger than any rack’s')
  // 46 bytes and a name of at least one for each
  if (offset + byteCount !== endAt || byteCount < entries * 47)
    throw archiveDamaged('its table of contents is not where it has to be')
  if (entries === 0) throw notAnArchive('it is empty')
  return directory
}

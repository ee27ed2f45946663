import { open } from 'node:fs/promises'

/** "OVGR", in the header of every rack's database. */
export const applicationId = 0x4f564752

export type Header =
  | { kind: 'sqlite'; applicationId: number; userVersion: number; byteCount: number }
  | { kind: 'other' }

/**
 * Reads what a database says of itself without SQLite, which would write beside it.
 * Source: SQLite, Database File Format, section 1.3: user_version at byte 60, application_id at byte 68, big-endian;
 * page size at 16 (1 stands for 65,536) and page count at 28, the latter valid where bytes 24 and 92 agree.
 */
export async function readHeader(path: string): Promise<Header> {
  const bytes = Buffer.alloc(100)
  const handle = await open(path, 'r')
  try {
    const { bytesRead } = await handle.read(bytes, 0, 100, 0)
    if (bytesRead < 100 || bytes.toString('latin1', 0, 16) !== 'SQLite format 3\0') return { kind: 'other' }
  } finally {
    await handle.close()
  }
  const pageSize = bytes.readUInt16BE(16) === 1 ? 65_536 : bytes.readUInt16BE(16)
  const counted = bytes.readUInt32BE(24) === bytes.readUInt32BE(92)
  return {
    kind: 'sqlite',
    applicationId: bytes.readUInt32BE(68),
    userVersion: bytes.readUInt32BE(60),
    byteCount: counted ? pageSize * bytes.readUInt32BE(28) : 0,
  }
}

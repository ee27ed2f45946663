import { createHash } from 'node:crypto'
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { sharp } from '../../../electron/photos/open.ts'

export type PhotoFile = { path: string; name: string; sha256: string }

/**
 * Gives small photos, each once, and larger ones where wanted: the same picture with a comment of its own (ISO/IEC 10918-1 B.2.4.5). Their names tell what
 * they are.
 */
export async function photoSupply(folder: string): Promise<(count: number, kilobytes?: number) => PhotoFile[]> {
  mkdirSync(folder, { recursive: true })
  const jpeg = await sharp({ create: { width: 320, height: 240, channels: 3, background: '#777' } })
    .jpeg()
    .toBuffer()
  let made = 0
  const one = (kilobytes: number): PhotoFile => {
    const name = `IMG_${String(++made).padStart(6, '0')}.jpg`
    const comments = [comment(Buffer.from(name))]
    for (let size = 0; size < kilobytes; size += 32) comments.push(comment(Buffer.alloc(32 * 1024 - 4, name)))
    const bytes = Buffer.concat([jpeg.subarray(0, 2), ...comments, jpeg.subarray(2)])
    const path = join(folder, name)
    writeFileSync(path, bytes)
    return { path, name, sha256: createHash('sha256').update(bytes).digest('hex') }
  }
  return (count, kilobytes = 0) => Array.from({ length: count }, () => one(kilobytes))
}

const comment = (words: Buffer): Buffer =>
  Buffer.concat([Buffer.from([0xff, 0xfe, (words.length + 2) >> 8, (words.length + 2) & 255]), words])

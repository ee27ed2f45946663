import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { sharp } from '../../../electron/photos/open.ts'

/** Small photos, each with a comment of its own and therefore another file (ISO/IEC 10918-1 B.2.4.5). */
export async function manySmall(folder: string, count: number): Promise<{ path: string; name: string }[]> {
  const jpeg = await sharp({ create: { width: 320, height: 240, channels: 3, background: '#777' } })
    .jpeg()
    .toBuffer()
  return Array.from({ length: count }, (_, i) => {
    const words = Buffer.from(String(i).padStart(6, '0'))
    const comment = Buffer.concat([Buffer.from([0xff, 0xfe, 0, words.length + 2]), words])
    const name = `IMG_${String(i).padStart(4, '0')}.jpg`
    writeFileSync(join(folder, name), Buffer.concat([jpeg.subarray(0, 2), comment, jpeg.subarray(2)]))
    return { path: join(folder, name), name }
  })
}

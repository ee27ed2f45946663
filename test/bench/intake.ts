import { spawnSync } from 'node:child_process'
import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { sharp } from '../../electron/photos/open.ts'
import { type Marked, markedAnywhere } from './intake/marked.ts'
import { renderedPhoto } from './intake/picture.ts'

const measure = fileURLToPath(new URL('./intake/measure.ts', import.meta.url))

/**
 * `intake [PHOTO.jpg]`: how long a photo takes from drop to reading, in times of sharp's own decode of the same file.
 * Without a photo a rendered one of 12 megapixels; of a given one the middle is marked, whatever it shows.
 */
export async function run(args: string[]): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'intake-'))
  try {
    const [given] = args
    const file = join(folder, 'photo.jpg')
    const twin = join(folder, 'twin.jpg')
    let marked: Marked
    if (given) {
      copyFileSync(given, file)
      const { width, height } = (await sharp(file).metadata()).autoOrient
      marked = markedAnywhere(width, height)
    } else {
      const { jpeg, ...rendered } = await renderedPhoto()
      writeFileSync(file, jpeg)
      marked = rendered
    }
    copyFileSync(file, twin)
    const layouts = join(folder, 'layouts.json')
    writeFileSync(layouts, JSON.stringify(marked))
    // in a process of its own: the first reading of a process is to be the first
    const { status } = spawnSync(process.execPath, [measure, layouts, file, twin], { stdio: 'inherit' })
    if (status !== 0) process.exitCode = 1
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

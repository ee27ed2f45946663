import { spawnSync } from 'node:child_process'
import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { sharp } from '../../electron/photos/open.ts'
import { bulk } from './intake/bulk.ts'
import { type Marked, markedAnywhere } from './intake/marked.ts'
import { renderedPhoto } from './intake/picture.ts'

const measure = fileURLToPath(new URL('./intake/measure.ts', import.meta.url))

/**
 * `intake [bulk|reading] [--photos N] [--runs N] [--seed NAME] [PHOTO.jpg]`, times as multiples of sharp's own decode.
 * `bulk`: many photos of 12 megapixels at once, until photo, row and small pictures are kept; memory, cancelling, and how
 * calls are answered meanwhile. `reading`: how long one photo takes from drop to reading. Without a photo a rendered one of 12
 * megapixels; of a given one the middle is marked, whatever it shows.
 */
export async function run(args: string[]): Promise<void> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { photos: { type: 'string' }, runs: { type: 'string' }, seed: { type: 'string' } },
  })
  const only = positionals.find((word) => word === 'bulk' || word === 'reading')
  const given = positionals.find((word) => word !== only)
  if (only !== 'reading' && given === undefined)
    await bulk({ count: Number(values.photos ?? 500), runs: Number(values.runs ?? 3), seed: values.seed ?? 'intake' })
  if (only !== 'bulk') await reading(given)
}

async function reading(given: string | undefined): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'intake-'))
  try {
    const file = join(folder, 'photo.jpg')
    const twin = join(folder, 'twin.jpg')
    let marked: Marked
    if (given !== undefined) {
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

import { mkdir } from 'node:fs/promises'
import { resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { makeBigRack } from './big-rack/make.ts'

/**
 * `make-rack FOLDER PANELS [--seed N]`: a rack of invented panels, four photos and ten readings for each, as large as wanted.
 * What the wall shows is there as pictures; the photos' originals are not.
 */
export async function run(args: string[]): Promise<void> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { seed: { type: 'string', default: '1' } },
  })
  const [folder, count] = positionals
  const [panels, seed] = [Number(count), Number(values.seed)]
  if (folder === undefined || !Number.isSafeInteger(panels) || panels < 1 || !Number.isSafeInteger(seed)) {
    console.error('usage: npm run bench -- make-rack FOLDER PANELS [--seed WHOLE-NUMBER]')
    process.exitCode = 2
    return
  }
  await mkdir(resolve(folder), { recursive: true })
  const made = await makeBigRack(resolve(folder), panels, seed)
  console.log(`${made.panels} panels, ${made.photos} photos, ${made.readings} readings, ${made.pictures} pictures`)
}

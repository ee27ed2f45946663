import { mkdir } from 'node:fs/promises'
import { resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { createRack } from '../rack/opening/open.ts'
import { demonstrationName, demonstrationSeed, makeDemonstration } from './demonstration/make.ts'

/** The command `npm run demo -- FOLDER [--seed N]`: makes the demonstration rack in a new or empty folder. */
async function run(): Promise<void> {
  const { values, positionals } = parseArgs({ allowPositionals: true, options: { seed: { type: 'string' } } })
  const [folder] = positionals
  const seed = values.seed === undefined ? demonstrationSeed : Number(values.seed)
  if (folder === undefined || positionals.length > 1 || !Number.isSafeInteger(seed)) {
    console.error('Say where the demonstration rack goes:  npm run demo -- FOLDER [--seed WHOLE-NUMBER]')
    process.exitCode = 2
    return
  }
  const path = resolve(folder)
  await mkdir(path, { recursive: true })
  const began = performance.now()
  const rack = await createRack(path, demonstrationName, { who: () => 'Wren' })
  const stop = new AbortController()
  process.once('SIGINT', () =>
    stop.abort(new Refusal('demonstration/stopped', 'Stopped.', `Delete ${path} and start again.`)),
  )
  try {
    const { photos } = await makeDemonstration(rack, { seed, onProgress: say, signal: stop.signal })
    process.stdout.write('\n')
    console.log(`${photos} photos in ${((performance.now() - began) / 1000).toFixed(0)} s. The rack is in ${path}`)
  } finally {
    await rack.close()
  }
}

/** On a terminal one line that moves on, in a log every tenth step. */
function say(stage: string, done: number, total: number): void {
  const line = `${stage}: ${done} of ${total}`
  if (process.stdout.isTTY) process.stdout.write(`\r${line}   `)
  else if (done % 10 === 0 || done === total) console.log(line)
}

try {
  await run()
} catch (error) {
  if (!(error instanceof Refusal)) throw error
  console.error(`\n${error.message} ${error.remedy}`)
  process.exitCode = 1
}

import { readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/** A file of this folder that is no bench. */
const helpers = new Set(['run', 'patches'])

const folder = fileURLToPath(new URL('.', import.meta.url))
const names = readdirSync(folder)
  .filter((file) => file.endsWith('.ts'))
  .map((file) => file.slice(0, -3))
  .filter((name) => !helpers.has(name))
const [name, ...rest] = process.argv.slice(2)
if (name === undefined || !names.includes(name)) {
  console.error(`usage: npm run bench -- NAME …\nbenches: ${names.join(', ')}`)
  process.exitCode = 2
} else {
  const bench = (await import(`./${name}.ts`)) as { run: (args: string[]) => Promise<void> }
  await bench.run(rest)
}

import sharp from 'sharp'

/** Decodes files with sharp and nothing else, two at once; says how long it took. */
const files = process.argv.slice(2)
const start = performance.now()
let next = 0
const worker = async () => {
  for (let file = files[next++]; file !== undefined; file = files[next++]) await sharp(file).raw().toBuffer()
}
await Promise.all([worker(), worker()])
process.stdout.write(String(performance.now() - start))

import { rmSync, writeFileSync } from 'node:fs'
import { mkdtemp } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import sharp from 'sharp'
import { encodeJpeg } from '../../../electron/photos/encode.ts'
import { endLooking, lookAt } from '../../../electron/photos/propose/look-at.ts'
import { renderPhoto } from '../../../electron/service/demonstration/picture/render-photo.ts'
import { quantile } from '../../../shared-core/capture/statistics.ts'
import { planOf, renderedPhoto } from '../intake/picture.ts'

const [width, height] = [4000, 3000]
const repeats = 7

/** Time to look at a photo of 12 megapixels, over that of sharp's full decode of it: one after the other, again and again. */
export async function timeLooking(): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), 'overground-propose-'))
  // the worker by itself keeps no process
  const stay = setInterval(() => null, 1000)
  try {
    const photos = [(await renderedPhoto()).jpeg, await panelAlone()]
    const ratios: number[] = []
    const work: number[] = []
    const decodes: number[] = []
    for (const [i, jpeg] of photos.entries()) {
      const path = join(folder, `${i}.jpg`)
      writeFileSync(path, jpeg)
      // the first turns load and compile
      for (let turn = -2; turn < repeats; turn++) {
        const decode = await timed(() => sharp(path).raw().toBuffer())
        const looking = await timed(() => lookAt(path))
        if (turn < 0) continue
        ratios.push(looking.ms / decode.ms)
        work.push(looking.cpuMs / decode.cpuMs)
        decodes.push(decode.ms)
      }
    }
    console.log(
      `time of proposals, ${photos.length} photos of ${width} x ${height}: median ${quantile(ratios, 0.5).toFixed(2)} x sharp's full decode (p90 ${quantile(ratios, 0.9).toFixed(2)}; decode ${quantile(decodes, 0.5).toFixed(0)} ms here); processor time of all threads ${quantile(work, 0.5).toFixed(2)} x`,
    )
  } finally {
    clearInterval(stay)
    await endLooking()
    rmSync(folder, { recursive: true, force: true })
  }
}

function panelAlone(): Promise<Buffer> {
  const plan = planOf('propose', 1, width, height)
  const { pixels } = renderPhoto(plan)
  return encodeJpeg({
    pixels,
    width,
    height,
    space: plan.camera.space,
    quality: 92,
    onItsSide: false,
    exif: { camera: 'Rendered', takenAt: new Date('2026-05-14T10:20:30Z'), exposureS: 1 / 60, fNumber: 1.8, iso: 100 },
  })
}

async function timed(task: () => Promise<unknown>): Promise<{ ms: number; cpuMs: number }> {
  const start = performance.now()
  const before = process.cpuUsage()
  await task()
  const { user, system } = process.cpuUsage(before)
  return { ms: performance.now() - start, cpuMs: (user + system) / 1000 }
}

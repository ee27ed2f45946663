import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { encodeJpeg } from '../../../electron/photos/encode.ts'
import { sharp } from '../../../electron/photos/open.ts'
import { renderPhoto } from '../../../electron/service/demonstration/picture/render-photo.ts'
import { randomFrom } from '../../../electron/service/demonstration/random.ts'
import { planOf } from './picture.ts'

const [width, height] = [4000, 3000]
/** Rendering takes seconds: as many scenes as these, each photographed many times, a little to the side and darker. */
const scenes = 8
const margin = 64

/**
 * Photos of 12 megapixels with grain, flake, noise and a lamp's fall-off, each with pixels of its own, as a phone writes
 * them. Made once for a seed and number, and left in the system's temporary folder for the next time.
 */
export async function manyPhotos(seed: string, count: number): Promise<{ path: string; name: string }[]> {
  const folder = join(tmpdir(), `overground-intake-${seed}-${count}`)
  const nameOf = (i: number) => `IMG_${String(i).padStart(4, '0')}.jpg`
  if (!existsSync(folder)) {
    const half = `${folder}.${process.pid}`
    mkdirSync(half)
    const random = randomFrom(seed)
    for (let scene = 0; scene < scenes && scene < count; scene++) {
      const plan = planOf(`${seed} ${scene}`, scene, width + margin, height + margin)
      const { pixels } = renderPhoto(plan)
      for (let i = scene; i < count; i += scenes) {
        const [left, top] = [random.whole(0, margin), random.whole(0, margin)]
        const shot = await sharp(pixels, { raw: { width: plan.width, height: plan.height, channels: 3 } })
          .extract({ left, top, width, height })
          .linear(random.between(0.9, 1), 0)
          .raw()
          .toBuffer()
        const takenAt = new Date(Date.UTC(2026, 4, 14, 8, 0, i))
        const exif = { camera: 'Rendered', takenAt, exposureS: 1 / 60, fNumber: 1.8, iso: 100 }
        const picture = {
          pixels: shot,
          width,
          height,
          space: 'Display P3' as const,
          quality: 92,
          onItsSide: i % 3 === 0,
        }
        writeFileSync(join(half, nameOf(i)), await encodeJpeg({ ...picture, exif }))
      }
      process.stdout.write(`\rphotos are made: scene ${scene + 1} of ${Math.min(scenes, count)} `)
    }
    process.stdout.write('\n')
    renameSync(half, folder)
  }
  const names = readdirSync(folder)
  if (names.length !== count) {
    rmSync(folder, { recursive: true })
    throw new Error('The photos made earlier are not all there any more; they were removed. Run it again.')
  }
  return names.toSorted().map((name) => ({ path: join(folder, name), name }))
}

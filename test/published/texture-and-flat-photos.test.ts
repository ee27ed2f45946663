/**
 * Texture and flat field on open photos: patches of a printed chart have no flake, a blank sheet of the same set-up tells
 * how its light spreads, and a chart is no blank sheet.
 * Photos: r01, r03 and their blank sheets, C. Wakholi, colour-correction package (2025), MIT. They lie beside the project;
 * without them this file is skipped.
 */
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { patchQuad } from '../../shared-core/capture/camera/chart.ts'
import { flatFieldOf } from '../../shared-core/capture/flat-field.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { textureOf } from '../../shared-core/capture/texture.ts'
import { decodeTable, srgbProfile } from '../../shared-core/colour/profile.ts'
import type { Quad } from '../../shared-core/records/area.ts'

const folder = fileURLToPath(new URL('../../../shared/photos', import.meta.url))
const present = existsSync(join(folder, 'index.json'))
if (!present) console.warn('chart photos are not beside the project: texture-and-flat-photos is skipped')

async function photo(file: string): Promise<Pixels> {
  const { data, info } = await sharp(join(folder, file), { ignoreIcc: true })
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true })
  return { width: info.width, height: info.height, channels: 3, bits: 8, data }
}

describe.runIf(present)('open photos', () => {
  it('show no flake on printed patches', async () => {
    const { photos } = JSON.parse(readFileSync(join(folder, 'index.json'), 'utf8')) as {
      photos: { file: string; quad: Quad }[]
    }
    for (const file of ['r01_studio_even.jpg', 'r03_studio_bright.jpg']) {
      const pixels = await photo(file)
      const { quad } = photos.find((one) => one.file === file)!
      const found = Array.from({ length: 24 }, (_, i) =>
        textureOf(
          pixels,
          decodeTable(srgbProfile, 8),
          { kind: 'quad', quad: patchQuad(quad, i + 1, 0.7) },
          // any scale will do: nothing is to be found at any
          0.15,
        ),
      )
      expect(found.every((one) => one !== null && one.coarsenessPercent < 2)).toBe(true)
      expect(found.filter((one) => one!.coarsenessPercent < 0.5).length).toBeGreaterThanOrEqual(21)
    }
  })

  it('of blank sheets tell the light, photos of charts do not', async () => {
    for (const file of ['r01_flat.jpg', 'r03_flat.jpg']) {
      const field = flatFieldOf(await photo(file), srgbProfile)
      if ('refused' in field) throw new Error(field.refused.code)
      expect(field.scatter).toBeLessThan(0.01)
      expect(field.evenness).toBeGreaterThan(0.7)
      expect(field.evenness).toBeLessThan(0.95)
    }
    for (const file of ['r01_studio_even.jpg', 'r03_studio_bright.jpg']) {
      expect(flatFieldOf(await photo(file), srgbProfile)).toMatchObject({ refused: { code: 'photo/flat-structured' } })
    }
  })
})

/**
 * Charts found in open photos, with their corners in order: outlines as marked by hand in the list beside the photos.
 * Photos: C. Wakholi, colour-correction package (2025), MIT; Qiu Jueqin, chart extraction tool, MIT; A. Arsenault, chart finder,
 * BSD-3-Clause style. They lie beside the project; without them this file is skipped.
 */
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { factsOf } from '../../electron/photos/inspect.ts'
import { sharp } from '../../electron/photos/open.ts'
import { findThings } from '../../shared-core/find/things/find-things.ts'
import { overlapOf } from '../../shared-core/find/things/overlap.ts'
import type { Point, Quad } from '../../shared-core/records/area.ts'
import { surely } from '../../shared-core/records/proposal.ts'

const folder = fileURLToPath(new URL('../../../shared/photos', import.meta.url))
const present = existsSync(join(folder, 'index.json'))
if (!present) console.warn('chart photos are not beside the project: found-charts is skipped')

describe.runIf(present)('open photos of charts', () => {
  if (!present) return
  const { photos } = JSON.parse(readFileSync(join(folder, 'index.json'), 'utf8')) as {
    photos: { file: string; quad?: Quad }[]
  }
  // even light, a chart beside others, upside down in the sun, dim, and a tiny one
  it.each(['r01_studio', 'r02', 'r04', 'r05', 'r07'])('%s', async (name) => {
    const { file, quad } = photos.find((photo) => photo.file.startsWith(name) && photo.quad)!
    const path = join(folder, file)
    const { file: profile, width } = await factsOf(path)
    const { data, info } = await sharp(path, { autoOrient: true, ignoreIcc: true })
      .removeAlpha()
      .resize({ width: 1000, height: 1000, fit: 'inside', withoutEnlargement: true })
      .raw()
      .toBuffer({ resolveWithObject: true })
    const picture = { width: info.width, height: info.height, channels: 3 as const, bits: 8 as const, data }
    const { chart } = findThings(picture, profile.profile)
    expect(chart?.confidence ?? 0).toBeGreaterThan(surely)
    const scale = width / info.width
    const found = chart!.quad.map(([x, y]): Point => [x * scale, y * scale]) as Quad
    expect(overlapOf(found, quad!)).toBeGreaterThan(0.9)
    // the corner at patch 1 is the one nearest to where it was marked
    const away = found.map(([x, y]) => Math.hypot(x - quad![0][0], y - quad![0][1]))
    expect(away.indexOf(Math.min(...away))).toBe(0)
  })
})

import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { readPhoto } from '../../electron/photos/read.ts'
import { moveQuad } from '../../shared-core/capture/geometry.ts'
import { quantile } from '../../shared-core/capture/statistics.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import { patchQuad } from './patches.ts'

type Photo = { file: string; quad: Quad; window: number; reference_applies: boolean }
export type PatchReading = { patch: number; lab: [number, number, number]; bound90: number; de00: number }

const patches = Array.from({ length: 24 }, (_, i) => i + 1)
const cardPatch = 22

/**
 * Reads the 24 patches of one chart photo with patch 22 as the card.
 * `index.json` puts pixel centres at whole numbers; here the corner of the first pixel is (0, 0).
 */
export function chartLayout(photo: Photo, reference: [number, number, number][]): Layout {
  const chart = moveQuad(photo.quad, 0.5, 0.5)
  const [l, a, b] = reference[cardPatch - 1]!
  const areas = patches.map((patch) => ({
    stepId: null,
    shape: { kind: 'quad' as const, quad: patchQuad(chart, patch, photo.window) },
  }))
  return { areas, card: { quad: patchQuad(chart, cardPatch, photo.window), lab: { l, a, b } } }
}

/** `photos DIR [OUT.json]`: charts of DIR/index.json read by card only, against the mean of 30 measured charts. */
export async function run(args: string[]): Promise<void> {
  const [folder, ...rest] = args
  if (!folder) throw new Error('usage: bench -- photos DIR [OUT.json]')
  const pair = rest.find((arg) => /^[^/]+:[^/]+$/.test(arg))
  if (pair) throw new Error(`${pair}: photos that calibrate one another by their charts are not read yet`)
  const out = rest.find((arg) => arg.endsWith('.json'))
  const { photos } = JSON.parse(readFileSync(join(folder, 'index.json'), 'utf8')) as { photos: Photo[] }
  const { labD50 } = JSON.parse(readFileSync(join(folder, 'chart24.json'), 'utf8')) as {
    labD50: { avg30: [number, number, number][] }
  }
  const reports = []
  for (const photo of photos.filter((p) => p.reference_applies)) {
    const { results, photo: cautions } = await readPhoto(join(folder, photo.file), chartLayout(photo, labD50.avg30))
    const readings = results.flatMap(({ colour }, i): PatchReading[] => {
      if (!colour || i + 1 === cardPatch) return []
      const [l, a, b] = labD50.avg30[i]!
      const de00 = differenceCiede2000(colour.lab, { l, a, b })
      return [{ patch: i + 1, lab: [colour.lab.l, colour.lab.a, colour.lab.b], bound90: colour.bound90, de00 }]
    })
    const refused = results.flatMap(({ refused: why }, i) => (why ? [`${i + 1}: ${why.code}`] : []))
    reports.push({ file: photo.file, cautions: cautions.map(({ code }) => code), refused, readings })
    console.log(
      `${photo.file.padEnd(30)} ${figures(readings)} ${cautions.map(({ code }) => code).join(' ')} ${refused.join(' ')}`,
    )
  }
  console.log(`${'card only, all'.padEnd(30)} ${figures(reports.flatMap((r) => r.readings))}`)
  if (out) writeFileSync(out, `${JSON.stringify({ card: reports }, null, 1)}\n`)
}

function figures(readings: PatchReading[]): string {
  const errors = readings.map((r) => r.de00)
  const held = readings.filter((r) => r.de00 <= r.bound90).length / Math.max(1, readings.length)
  const bound = quantile(
    readings.map((r) => r.bound90),
    0.5,
  )
  const [median, p90] = [quantile(errors, 0.5), quantile(errors, 0.9)].map((v) => v.toFixed(2))
  return `n ${errors.length} median ${median} p90 ${p90} holds ${held.toFixed(3)} bound ${bound.toFixed(2)}`
}

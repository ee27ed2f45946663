import { readSymbols } from '../../../../electron/photos/symbols/read-symbols.ts'
import type { Pixels } from '../../../../shared-core/capture/pixels.ts'
import { pixelsOf } from '../cases.ts'
import { type LabelKind, planLabels } from './plan.ts'

export type LabelsMeasured = {
  group: 'labels'
  set: number
  labels: { kind: LabelKind; code: string; modulePx: number; read: boolean }[]
  blur: number
  /** Texts that stand nowhere in the photo. */
  invented: number
}

export async function measureLabels(set: number, seed: string): Promise<LabelsMeasured[]> {
  const photo = await planLabels(`${seed}/labels/${set}`)
  const found = await readSymbols(greyOf(await pixelsOf(photo)))
  const texts = new Set(found.map(({ text }) => text))
  const codes = new Set(photo.labels.map(({ code }) => code))
  return [
    {
      group: 'labels',
      set,
      labels: photo.labels.map((label) => ({ ...label, read: texts.has(label.code) })),
      blur: photo.shot.blur,
      invented: [...texts].filter((text) => !codes.has(text)).length,
    },
  ]
}

/** Luma of ITU-R BT.601, as a JPEG file keeps it. */
export function greyOf({ width, height, data }: Pixels): { width: number; height: number; data: Uint8Array } {
  const grey = new Uint8Array(width * height)
  for (let i = 0; i < grey.length; i++)
    grey[i] = (77 * data[3 * i]! + 150 * data[3 * i + 1]! + 29 * data[3 * i + 2]!) >> 8
  return { width, height, data: grey }
}

import type { Texture } from '../../../../../shared-core/records/reading.ts'
import type { Settings } from '../../../../../shared-core/records/settings.ts'
import { sayNumber } from '../../../../parts/say-numbers.ts'

/** Flake and pearl in plain words, a line for each thing that is known. */
export function textureInWords(texture: Texture, settings: Pick<Settings, 'decimal'>): string[] {
  const { coarsenessPercent, grainMm, glintsPerCm2, glintContrast } = texture
  const say = (value: number, digits: number) => sayNumber(value, digits, settings)
  if (Math.round(coarsenessPercent * 10) === 0 && !glintsPerCm2) return ['Smooth: no grain and no glints are seen.']
  const grain = grainMm === null ? '' : `, in grains of about ${say(grainMm, grainMm < 0.1 ? 2 : 1)} mm`
  const lines = [
    `Coarseness ${say(coarsenessPercent, coarsenessPercent < 10 ? 1 : 0)} %: its light varies that much${grain}.`,
  ]
  if (glintsPerCm2 !== null)
    lines.push(
      glintsPerCm2 < 0.05
        ? 'No glints stand out.'
        : `${say(glintsPerCm2, glintsPerCm2 < 10 ? 1 : 0)} glints per cm², about ${say(1 + glintContrast, 1)} times as bright as the paint around them.`,
    )
  else if (glintContrast > 0)
    lines.push(`Glints are about ${say(1 + glintContrast, 1)} times as bright as the paint around them.`)
  if (grainMm === null && glintsPerCm2 === null)
    lines.push('How large its grain is, and how many glints: needs the size of the grey card, in Settings.')
  return lines
}

import type { Random } from '../../../../electron/service/demonstration/random.ts'
import type { Camera } from '../spectra/camera.ts'
import { linearOf } from '../spectra/tone.ts'
import type { Trouble } from '../wish.ts'
import type { Shot } from './shot.ts'

/**
 * Balanced linear light of a perfect white in the middle.
 * @param brightest  the strongest channel of what must not be burnt out, a perfect white in the middle being about 1
 */
export function exposureOf(
  random: Random,
  { camera, trouble, brightest }: { camera: Camera; trouble: Trouble | null; brightest: number },
): number {
  // Middle grey comes out near this number; who overexposes lets it run far above, who has no light far below.
  const usual = Math.min(150, Math.max(82, 113 + 15 * random.normal())) / 255
  const level = linearOf(camera.tone, trouble === 'too-dark' ? random.between(13, 28) / 255 : usual) / 0.18
  // Most people tap the panel, and the phone takes care that it is not burnt out.
  const metered = random.chance(0.85) ? Math.min(level, (0.93 * camera.tone.headroom) / brightest) : level
  // Overexposed is what leaves nothing of a card of L* 50 below the sensor's limit.
  const burnt = (camera.tone.headroom * random.between(1.1, 2.5)) / 0.18
  return trouble === 'overexposed' ? burnt : metered
}

/** Lens, hand and file. */
export const lensOf = (
  random: Random,
  trouble: Trouble | null,
): Pick<Shot, 'flare' | 'vignette' | 'blur' | 'noise' | 'quality'> => ({
  flare: random.chance(0.2) ? random.between(0.015, 0.05) : random.between(0, 0.015),
  vignette: random.between(0, 0.18),
  blur: trouble === 'blurred' ? random.between(3, 9) : random.between(0.1, 0.9),
  noise: trouble === 'too-dark' ? random.between(1.5, 3) : 1,
  quality: random.whole(80, 95),
})

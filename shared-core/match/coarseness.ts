import type { CoarsenessMatch } from '../records/match.ts'
import type { Reading, Texture } from '../records/reading.ts'

/**
 * 90 % bounds of one texture: a share of itself, and what a smooth thing shows. Discs of known statistics come out
 * between 0.85 and 1.12 of their coarseness and 0.8 and 1.25 of their size (test/unit/capture-texture.test.ts), 21 and
 * more of 24 smooth patches of printed charts below 0.5 % (test/published/texture-and-flat-photos.test.ts). How much a
 * photo out of focus takes away is not in it.
 */
const coarsenessShare = 0.15
const smoothPercent = 0.5
const sizeShare = 0.25

const boundOf = (percent: number): number => Math.hypot(coarsenessShare * percent, smoothPercent)

/**
 * The candidate's grain against the reference's, in the reference's view and light: a lamp shows flake, a grey sky
 * hides it, so grains seen in two lights are not compared.
 * @param candidate  readings of the candidate's step
 */
export function coarsenessOf(
  reference: Pick<Reading, 'texture' | 'view' | 'lightId'>,
  candidate: readonly Pick<Reading, 'texture' | 'view' | 'lightId'>[],
): CoarsenessMatch | null {
  if (!reference.texture) return null
  const textures = candidate.flatMap(({ texture, view, lightId }) => {
    const isAlike =
      view === reference.view && (lightId === null || reference.lightId === null || lightId === reference.lightId)
    return texture && isAlike ? [texture] : []
  })
  return textures.length === 0 ? null : compareTextures(reference.texture, middleOf(textures))
}

/** Of several the one in the middle by coarseness, the finer of two. */
function middleOf(textures: readonly Texture[]): Texture {
  const sorted = textures.toSorted((a, b) => a.coarsenessPercent - b.coarsenessPercent)
  return sorted[Math.floor((sorted.length - 1) / 2)]!
}

export function compareTextures(reference: Texture, candidate: Texture): CoarsenessMatch {
  const [ours, theirs] = [reference.coarsenessPercent, candidate.coarsenessPercent]
  const differencePercent = ours + theirs === 0 ? 0 : (200 * (theirs - ours)) / (ours + theirs)
  const said = (words: string, alike: boolean): CoarsenessMatch => ({ words, differencePercent, alike })
  const isSmooth = [ours <= smoothPercent, theirs <= smoothPercent]
  if (isSmooth[0] && isSmooth[1]) return said('smooth, as the reference is', true)
  const apart = Math.abs(theirs - ours) > Math.hypot(boundOf(ours), boundOf(theirs))
  if (apart && isSmooth[0]) return said('grain where the reference is smooth', false)
  if (apart && isSmooth[1]) return said('smooth where the reference has grain', false)
  const size = sizeWord(reference.grainMm, candidate.grainMm)
  if (!apart && size === null) return said('grain as coarse as the reference’s', true)
  const words = [...(apart ? [theirs > ours ? 'coarser' : 'finer'] : []), ...(size === null ? [] : [size])]
  return said(`${words.join(', ')} grain`, false)
}

function sizeWord(reference: number | null, candidate: number | null): string | null {
  if (reference === null || candidate === null) return null
  const ratio = Math.log(candidate / reference)
  if (Math.abs(ratio) <= Math.SQRT2 * Math.log(1 + sizeShare)) return null
  return ratio > 0 ? 'larger' : 'smaller'
}

import { stat } from 'node:fs/promises'
import type { PixelBox } from '../../shared-core/capture/geometry.ts'
import { type Survey, surveyOf } from '../../shared-core/capture/surroundings.ts'
import { type Decoded, decodePhoto } from './decode.ts'
import { type Facts, factsOf } from './inspect.ts'
import { refusalOf } from './refusals.ts'

export type KeptPhoto = Decoded & {
  survey: Survey
  facts: Facts
  /** The part that was decoded, in upright photo pixels; null when it is the whole photo. */
  part: PixelBox | null
}
type Kept = { key: string; facts: Facts; photo: Promise<KeptPhoto> }

/** A larger one is decoded, used and let go. 50 megapixels of 8 bits or 26 of 16 bits stay below it. */
const mostBytes = 160_000_000
const keptForMs = 60_000

// One photo at most: the one whose corners somebody is dragging. It is read again for every move.
let kept: Kept | null = null
let timer: NodeJS.Timeout | null = null

/**
 * A photo's numbers, decoded now or still in memory from the last call. Only the photo asked for last is kept, for a
 * minute after its last use; a file with another time or size is another photo.
 * @param whichPart  which part is needed, or null for all of it
 * @throws Refusal as `inspectPhoto` does; a photo that cannot be read is not kept
 */
export async function keptPhoto(path: string, whichPart: (facts: Facts) => PixelBox | null): Promise<KeptPhoto> {
  const file = await stat(path).catch((error: unknown) => Promise.reject(refusalOf(error)))
  const key = `${path} ${file.mtimeMs} ${file.size}`
  const facts = kept?.key === key ? kept.facts : await factsOf(path)
  const part = whichPart(facts)
  if (kept?.key === key) {
    const photo = await kept.photo
    if (samePart(photo.part, part)) {
      letGoLater()
      return photo
    }
  }
  const mine: Kept = { key, facts, photo: decodeWith(path, facts, part) }
  const { width, height } = part ?? facts
  if ((width * height * 3 * facts.bits) / 8 > mostBytes) return mine.photo
  kept = mine
  letGoLater()
  mine.photo.catch(() => {
    if (kept === mine) kept = null
  })
  return mine.photo
}

async function decodeWith(path: string, facts: Facts, part: PixelBox | null): Promise<KeptPhoto> {
  const { pixels, profile } = await decodePhoto(path, part ?? undefined, facts)
  return { pixels, profile, survey: surveyOf(pixels, profile), facts, part }
}

const samePart = (a: PixelBox | null, b: PixelBox | null) =>
  a === b ||
  (a !== null && b !== null && a.left === b.left && a.top === b.top && a.width === b.width && a.height === b.height)

function letGoLater(): void {
  if (timer) clearTimeout(timer)
  timer = setTimeout(() => {
    kept = null
    timer = null
  }, keptForMs)
  timer.unref()
}

import type { Pixels } from '../../capture/pixels.ts'
import type { RgbProfile } from '../../colour/profile.ts'
import type { FoundPanel, FoundThing } from '../../records/proposal.ts'
import { likelihoodOfCard, likelihoodOfThing } from './kinds.ts'
import { outlinesIn } from './outlines.ts'
import { findSteps } from './steps.ts'

export type FoundThings = { panels: FoundPanel[]; cards: FoundThing[]; chart: FoundThing | null }

/** Less than this is not even a guess. */
const leastConfidence = 0.05
const mostOfAKind = 12

/**
 * Finds painted panels, neutral cards and a 24-patch chart in an ordinary photo.
 * @param picture  upright; 800 to 1600 pixels are enough, any size is taken
 * @returns quads in pixels of the picture, clockwise, each list from sure to unsure; a chart's corners start at patch 1
 * @throws  never
 */
export function findThings(picture: Pixels, profile: RgbProfile): FoundThings {
  if (Math.min(picture.width, picture.height) < leastSide) return { panels: [], cards: [], chart: null }
  const { outlines, chart } = outlinesIn(picture, profile)
  const panels: FoundPanel[] = []
  const cards: FoundThing[] = []
  for (const { quad, features } of outlines) {
    const thing = likelihoodOfThing(features)
    const card = likelihoodOfCard(features)
    const [asPanel, asCard] = [thing * (1 - card), thing * card]
    if (asPanel >= leastConfidence)
      panels.push({ quad, confidence: asPanel, steps: asPanel >= 0.3 ? findSteps(picture, profile, quad) : [] })
    if (asCard >= leastConfidence) cards.push({ quad, confidence: asCard })
  }
  return { panels: sorted(panels), cards: sorted(cards), chart }
}

const leastSide = 24

function sorted<T extends FoundThing>(things: T[]): T[] {
  return things.toSorted((a, b) => b.confidence - a.confidence).slice(0, mostOfAKind)
}

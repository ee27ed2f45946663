import { sidesOf } from '../../capture/geometry.ts'
import type { Point, Quad } from '../../records/area.ts'
import { type Rectangle, squareness } from './rectangles.ts'

/** What tells panels, cards and other rectangles apart. */
export type Features = {
  quality: number
  /** Share seen of the worst side. */
  worst: number
  /** Logarithm of how many times the usual change its faintest side is. */
  faintest: number
  /** Logarithm of its change in numbers of the picture. */
  step: number
  softest: number
  square: number
  /** Chroma over lightness, of the picture's numbers as they are; and lightness 0 to 1. */
  chroma: number
  lightness: number
  spread: number
  rough: number
  /** Logarithm of its area over that of the largest other rectangle, or of a usual panel in a picture. */
  size: number
  /** Logarithm of the longer over the shorter side. */
  aspect: number
  holds: number
  /** Sides that lie along the picture's own edge. */
  atBorder: number
  part: number
}

/** A panel alone fills about so much of a picture. */
const usualPart = 0.12

export function featuresOf(one: Rectangle, all: Rectangle[], picture: { width: number; height: number }): Features {
  const [r, g, b] = one.colour as [number, number, number]
  const mean = (r + g + b) / 3
  const { width, height } = sidesOf(one.quad)
  const others = all.filter((other) => other !== one && other.holds < 0.15).map(({ part }) => part)
  const largest = others.length > 0 ? Math.max(...others) : usualPart
  const ends = [0, 1, 2, 3].filter((i) => isAtBorder(one.quad, i, picture))
  // a side that lies beyond the picture cannot be seen
  const sides = one.sides.filter((_, i) => ends.length > 1 || !ends.includes(i))
  return {
    quality: one.quality,
    worst: Math.min(...sides.map(({ share }) => share)),
    faintest: Math.log(Math.max(0.3, Math.min(...sides.map(({ clear }) => clear)))),
    step: Math.log(Math.max(0.5, Math.min(...sides.map(({ step }) => step)))),
    square: squareness(one.quad),
    softest: Math.max(...sides.map(({ soft }) => soft)),
    chroma: (Math.max(r, g, b) - Math.min(r, g, b)) / Math.max(20, mean),
    lightness: mean / 255,
    spread: one.spread,
    rough: one.rough,
    size: Math.log(one.part / largest),
    aspect: Math.log(Math.max(width / height, height / width)),
    holds: one.holds,
    atBorder: ends.length,
    part: one.part,
  }
}

/** As part of the picture's longer side: what ends there probably goes on beyond. */
const borderWidth = 0.02

function isAtBorder(quad: Quad, i: number, { width, height }: { width: number; height: number }): boolean {
  const near = borderWidth * Math.max(width, height)
  const [a, b] = [quad[i]!, quad[(i + 1) % 4]!]
  const both = (test: (p: Point) => boolean) => test(a) && test(b)
  return (
    both(([x]) => x < near) ||
    both(([x]) => x > width - near) ||
    both(([, y]) => y < near) ||
    both(([, y]) => y > height - near)
  )
}

const sure = (z: number) => 1 / (1 + Math.exp(-z))

/**
 * How likely the outline is that of a panel or a card lying there.
 * Weights: logistic regression on 271 outlines in rendered photos of our own (benches with papers, tools and shadows; seeds `own/…`
 * of the proposals, tiles and bad photos of the scenes), rounded; those of half-shadows and of paper under things are set by hand.
 */
export function likelihoodOfThing(f: Features): number {
  return sure(
    1.9 +
      4.3 * (f.quality - 0.9) +
      9.8 * (f.worst - 0.9) +
      0.75 * (Math.min(3, f.faintest) - 2) +
      2 * (f.square - 1) -
      5.5 * Math.max(0, f.aspect - 0.75) -
      9.2 * Math.max(0, -f.size - 1.95) -
      0.9 * Math.max(0, Math.log(Math.max(0.2, f.spread)) - 1.5) -
      Math.max(0, f.softest - 1.8) -
      (f.holds > 0.15 ? 4 : 0) -
      3 * f.atBorder,
  )
}

/**
 * How likely a thing that lies there is a grey card rather than a panel. A card is grey, of middle lightness, smooth, and a quarter as
 * large as the largest panel. Weights as above, on 216 panels and cards.
 */
export function likelihoodOfCard(f: Features): number {
  return sure(
    3.6 -
      3.5 * Math.max(0, f.chroma - 0.08) -
      0.95 * Math.log(Math.max(0.3, f.spread)) -
      0.5 * Math.log(Math.max(0.2, f.rough)) -
      5.9 * Math.abs(f.lightness - 0.42) -
      1.5 * Math.abs(f.size + 1.35) -
      4 * Math.max(0, f.size + 0.7),
  )
}

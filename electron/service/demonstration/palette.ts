import { filmSampling, type Spectrum } from '../../../shared-core/colour/spectrum.ts'
import { type FilmGround, trappedShare } from '../../../shared-core/film/forward.ts'

/**
 * Invented dyes, grounds and pearls as smooth parametric spectra. Nothing here was measured on, or is meant to stand
 * for, any product.
 */

/** A bell of absorbance: height at load 1, centre and half width in nanometres. */
type Band = readonly [height: number, centreNm: number, widthNm: number]

const at = (i: number): number => filmSampling.startNm + i * filmSampling.stepNm
const spectrum = (value: (nm: number) => number): Spectrum =>
  Array.from({ length: filmSampling.count }, (_, i) => value(at(i)))

const dye = (floor: number, ...bands: Band[]): Spectrum =>
  spectrum((nm) => bands.reduce((sum, [h, c, w]) => sum + h * Math.exp(-0.5 * ((nm - c) / w) ** 2), floor))

/** From `low` to `high` around an edge: how a metal or a tinted base climbs towards red. */
const climb = (low: number, high: number, edgeNm: number, widthNm: number): Spectrum =>
  spectrum((nm) => low + (high - low) / (1 + Math.exp(-(nm - edgeNm) / widthNm)))

export type DyeName = keyof typeof dyes
/** Absorbance of the round trip at load 1 (one full cover at 6 carrier : 1 concentrate). */
export const dyes = {
  Quince: dye(0.03, [0.68, 425, 50], [0.1, 490, 30]),
  Ember: dye(0.035, [0.72, 450, 55], [0.3, 525, 34], [0.06, 580, 30]),
  Rosehip: dye(0.045, [0.5, 430, 60], [0.66, 520, 44], [0.22, 570, 26]),
  Foxglove: dye(0.045, [0.62, 545, 42], [0.2, 480, 36], [0.16, 590, 26]),
  Damson: dye(0.06, [0.6, 560, 50], [0.22, 610, 34], [0.14, 470, 44]),
  Nightjar: dye(0.06, [0.55, 595, 52], [0.3, 535, 40], [0.12, 680, 40]),
  Halyard: dye(0.045, [0.66, 632, 56], [0.26, 570, 36], [0.1, 510, 40]),
  Tidewater: dye(0.04, [0.62, 648, 58], [0.16, 590, 36], [0.08, 430, 50]),
  Fenwater: dye(0.045, [0.6, 652, 58], [0.14, 590, 40], [0.26, 425, 44]),
  Juniper: dye(0.05, [0.5, 648, 56], [0.12, 590, 36], [0.5, 435, 46]),
  Bracken: dye(0.05, [0.62, 435, 55], [0.22, 660, 62], [0.08, 560, 60]),
  Kestrel: dye(0.09, [0.6, 430, 70], [0.34, 525, 55], [0.12, 600, 50]),
} as const satisfies Record<string, Spectrum>

/** A ground as it lies under clear, how coarse its flake shows, and how much brighter it is towards the lamp. */
export type Ground = FilmGround & {
  name: string
  /** Standard deviation of the brightness of one photo pixel's worth of flake. */
  grain: number
  /** 0 for a solid: brightness then hardly changes with angle. */
  lobe: number
  /** Reflectance lost while the base is raw, without clear. */
  rawLoss: number
  hides: boolean
}

const metallic = trappedShare(-1.2)
const solid = trappedShare(3)

export type GroundName = keyof typeof grounds
export const grounds = {
  silver: {
    name: 'bright silver',
    reflectance: climb(0.585, 0.655, 520, 70),
    trapped: metallic,
    grain: 0.075,
    lobe: 1,
    rawLoss: 0.06,
    hides: true,
  },
  gold: {
    name: 'gold',
    reflectance: climb(0.13, 0.68, 522, 26),
    trapped: metallic,
    grain: 0.085,
    lobe: 1,
    rawLoss: 0.07,
    hides: false,
  },
  copper: {
    name: 'copper',
    reflectance: climb(0.11, 0.6, 578, 24),
    trapped: metallic,
    grain: 0.09,
    lobe: 1,
    rawLoss: 0.07,
    hides: false,
  },
  charcoal: {
    name: 'charcoal',
    reflectance: climb(0.088, 0.08, 540, 60),
    trapped: metallic,
    grain: 0.17,
    lobe: 1.1,
    rawLoss: 0.05,
    hides: true,
  },
  white: {
    name: 'white',
    reflectance: spectrum((nm) => 0.87 - 0.3 * Math.exp(-(nm - 400) / 14) - 0.00006 * (700 - nm)),
    trapped: solid,
    grain: 0.006,
    lobe: 0.1,
    rawLoss: 0.02,
    hides: true,
  },
} as const satisfies Record<string, Ground>

/** A mid coat: its platelets, how much one coat covers, and how large they show. */
export type Pearl = { name: string; platelet: Spectrum; coverage: number; grain: number; sparkle: number }

const hump = (base: number, height: number, centreNm: number, widthNm: number): Spectrum =>
  spectrum((nm) => base + height * Math.exp(-0.5 * ((nm - centreNm) / widthNm) ** 2))

export type PearlName = keyof typeof pearls
export const pearls = {
  hoarfrost: { name: 'Hoarfrost pearl', platelet: hump(0.52, 0.1, 470, 60), coverage: 0.055, grain: 0.05, sparkle: 0 },
  minnow: { name: 'Minnow blue pearl', platelet: hump(0.06, 0.6, 460, 34), coverage: 0.06, grain: 0.05, sparkle: 0 },
  cowslip: {
    name: 'Cowslip gold pearl',
    platelet: climb(0.14, 0.66, 540, 24),
    coverage: 0.06,
    grain: 0.05,
    sparkle: 0,
  },
  stardrift: { name: 'Stardrift flake', platelet: climb(0.7, 0.78, 520, 60), coverage: 0.045, grain: 0.08, sparkle: 1 },
} as const satisfies Record<string, Pearl>

/** The neutral card: flat at L* 50 (Y = ((50 + 16) / 116)³). */
export const cardReflectance: Spectrum = spectrum(() => (66 / 116) ** 3)

import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { spectrumOf, type Values } from './data.ts'
import { wavy } from './paints.ts'

/** One printer with its inks and paper: what it makes of a colour that a page asks for. */
export type Printer = {
  paper: Values
  /** Reflectance where the page says `#rrggbb`. */
  inkOf: (hex: string) => Values
  /** How much the print's brightness varies from place to place: dots, bands, fibres. */
  grain: number
}

const bell = (nm: number, peak: number, width: number): number => Math.exp(-(((nm - peak) / width) ** 2))

/** Bands of pigments have flatter tops and steeper sides. */
const flatBell = (nm: number, peak: number, width: number): number => Math.exp(-(Math.abs((nm - peak) / width) ** 3))

/** Office paper: a little off white; a brightener lifts the blue where the light has something to feed it. */
function anyPaper(random: Random): Values {
  const level = random.between(0.8, 0.9)
  const yellow = random.between(0, 0.08)
  const lift = random.chance(0.75) ? random.between(0, 0.13) : 0
  const drift = wavy(random, 0.012)
  return spectrumOf((nm) => {
    const fall = 0.55 * Math.exp(-(nm - 380) / 14)
    const own = level * (1 - yellow * Math.max(0, (560 - nm) / 180)) * (1 - fall) * drift(nm)
    return Math.min(1.05, own + lift * bell(nm, 440, 28))
  })
}

/** Absorbance of a full layer of cyan, magenta, yellow and black: main band and what it takes besides; toner or dye. */
function anyInks(random: Random): Values[] {
  const near = (middle: number, by: number) => middle + by * random.normal()
  const density = () => Math.LN10 * random.between(1.05, 1.6)
  const band = (peak: number, widthLeft: number, widthRight: number, beside: number): Values => {
    const [at, most, besides] = [near(peak, 5), density(), beside * random.between(0.6, 1.4)]
    const drift = wavy(random, 0.04)
    return spectrumOf(
      (nm) => most * (flatBell(nm, at, nm < at ? widthLeft : widthRight) + besides * bell(nm, 430, 90)) * drift(nm),
    )
  }
  const cyan = band(640, near(84, 5), 160, 0.1)
  const magenta = band(548, near(60, 4), near(42, 3), 0.18)
  const yellow = band(430, 90, near(64, 4), 0.01)
  const tilt = random.between(-0.12, 0.12)
  const most = Math.LN10 * random.between(1.25, 1.75)
  return [cyan, magenta, yellow, spectrumOf((nm) => most * (1 + (tilt * (nm - 550)) / 150))]
}

/**
 * A printer whose driver knows nothing of its inks: codes go through a tone curve to complements, part of the grey to black,
 * and the dots spread. The halftone follows Neugebauer with Yule and Nielsen's power.
 * Sources: H. E. J. Neugebauer, Z. wiss. Photogr. 36 (1937) 73–89; J. A. C. Yule, W. J. Nielsen, TAGA Proc. 3 (1951) 65–76;
 * shares of overprints after M. E. Demichel, Procédé 26 (1924) 17–21. The parameters are our own, drawn for each printer.
 */
export function anyPrinter(random: Random): Printer {
  const paper = anyPaper(random)
  const inks = anyInks(random)
  const surface = random.between(0.006, 0.03)
  const power = random.between(1.5, 2.4)
  const usualGain = random.between(0.07, 0.19)
  const gains = inks.map(() => usualGain + random.between(-0.03, 0.03))
  const overall = Math.exp(0.15 * random.normal())
  const curves = [0, 1, 2].map(() => overall * Math.exp(0.04 * random.normal()))
  const black = { from: random.between(0, 0.5), share: random.between(0.3, 1) }
  // A mono laser prints greys and colours with black alone.
  const isMono = random.chance(0.06)
  const solids = Array.from({ length: 16 }, (_, which) =>
    paper.map((p, i) => {
      const absorbed = inks.reduce((sum, ink, k) => sum + ((which >> k) & 1) * ink[i]!, 0)
      return (surface + (p - surface) * Math.exp(-absorbed)) ** (1 / power)
    }),
  )
  const spread = (area: number, k: number): number => Math.min(1, area + 4 * gains[k]! * area * (1 - area))

  function areasOf(hex: string): number[] {
    const code = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255)
    if (isMono) {
      const grey = 0.3 * code[0]! + 0.59 * code[1]! + 0.11 * code[2]!
      return [0, 0, 0, 1 - grey ** curves[1]!]
    }
    const plain = code.map((v, c) => 1 - v ** curves[c]!)
    const common = Math.min(...plain)
    const k = (black.share * Math.max(0, common - black.from)) / (1 - black.from)
    return [...plain.map((area) => (k >= 1 ? 0 : Math.max(0, (area - k) / (1 - k)))), k]
  }

  const made = new Map<string, Values>()
  const inkOf = (hex: string): Values => {
    const known = made.get(hex)
    if (known) return known
    const areas = areasOf(hex).map(spread)
    const shares = solids.map((_, which) =>
      areas.reduce((product, area, k) => product * ((which >> k) & 1 ? area : 1 - area), 1),
    )
    const values = paper.map(
      (_, i) => shares.reduce((sum, share, which) => sum + share * solids[which]![i]!, 0) ** power,
    )
    made.set(hex, values)
    return values
  }
  return { paper, inkOf, grain: random.between(0.002, 0.012) }
}

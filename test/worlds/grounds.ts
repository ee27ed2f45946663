import type { Random } from '../../electron/service/demonstration/random.ts'
import type { GroundKind } from '../../shared-core/film/recipe.ts'
import { type Film, flakes, lambertian } from './angles.ts'
import type { Part } from './optics.ts'
import { edge, type Stuff, spectrumOf, type Values } from './spectra.ts'

export const groundNames = [
  'silver metallic',
  'gold metallic',
  'copper metallic',
  'charcoal metallic',
  'white solid',
  'grey solid',
  'black solid',
  'coloured solid',
] as const
export type GroundName = (typeof groundNames)[number]

export type Ground = { name: GroundName; kind: GroundKind; parts: readonly Part[] }

/** How much of the surface flakes cover: the rest is dark binder. Chosen by eye for grounds of usual lightness. */
const covered = { silver: [0.8, 0.97], gold: [0.75, 0.95], copper: [0.75, 0.95], grey: [0.1, 0.28] } as const

function metallic(random: Random, film: Film, metal: keyof typeof covered, stuff: Stuff): Part[] {
  const [low, high] = covered[metal]
  const cover = random.between(low, high)
  const reflectance = random.pick(stuff.metals[metal]).map((r) => r * cover)
  // edges of flakes and what lies between them scatter some light every way
  const scattered = random.between(0.05, 0.2)
  return [
    { reflectance: reflectance.map((r) => r * (1 - scattered)), spread: flakes(film, random.between(0.21, 0.32)) },
    { reflectance: reflectance.map((r) => r * scattered), spread: lambertian(film) },
  ]
}

/** A coat that hides. Source: Kubelka and Munk, Z. tech. Phys. 12 (1931) 593–601, infinite thickness. */
const hiding = (absorbed: Values): number[] => absorbed.map((ks) => 1 + ks - Math.sqrt(ks * ks + 2 * ks))

function solid(random: Random, name: GroundName, stuff: Stuff): number[] {
  const slope = random.between(-0.15, 0.15)
  // a white pigment absorbs at the violet end
  const white = (nm: number) => 0.004 + 3 * (1 - edge(nm, 398, 6))
  const grey = (level: number) => spectrumOf((nm) => white(nm) + level * (1 + (slope * (nm - 550)) / 150))
  if (name === 'white solid') return hiding(grey(random.between(0.001, 0.006)))
  if (name === 'grey solid') return hiding(grey(random.between(0.2, 0.8)))
  if (name === 'black solid') return hiding(grey(random.between(10, 25)))
  const [dye] = stuff.dyes(random, 1)
  const strength = random.between(0.5, 4)
  return hiding(spectrumOf((nm, i) => white(nm) + 0.01 + strength * dye![i]!))
}

export function groundOf(random: Random, film: Film, name: GroundName, stuff: Stuff): Ground {
  const metal = {
    'silver metallic': 'silver',
    'gold metallic': 'gold',
    'copper metallic': 'copper',
    'charcoal metallic': 'grey',
  } as const
  if (name in metal)
    return { name, kind: 'metallic', parts: metallic(random, film, metal[name as keyof typeof metal], stuff) }
  return { name, kind: 'solid', parts: [{ reflectance: solid(random, name, stuff), spread: lambertian(film) }] }
}

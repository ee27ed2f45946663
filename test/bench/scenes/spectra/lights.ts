import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { observer2 } from '../../../../shared-core/colour/cie-tables.ts'
import { sceneData, spectrumOf, type Values } from './data.ts'

export type Light = { name: string; power: Values }

/** How often each sort of light stands over a bench. */
const sorts: readonly { share: number; names: readonly string[] }[] = [
  { share: 0.5, names: ['LED-B1', 'LED-B2', 'LED-B3', 'LED-B4', 'LED-B5', 'LED-V1', 'LED-V2'] },
  { share: 0.25, names: ['D50', 'D65'] },
  { share: 0.13, names: ['FL2', 'FL11', 'FL3.12', 'FL3.14'] },
  { share: 0.1, names: ['A'] },
  { share: 0.02, names: ['LED-RGB1'] },
]

const oneName = (random: Random): string => {
  let left = random.next()
  for (const { share, names } of sorts) {
    if (left < share) return random.pick(names)
    left -= share
  }
  return 'LED-B3'
}

/** A light by name, scaled to luminance 1. */
export function lightNamed(name: string): Light {
  const power = sceneData().lights.get(name)
  if (!power) throw new RangeError(`There is no light ${name}.`)
  return { name, power: scaled(power) }
}

function scaled(power: Values): Values {
  const y = power.reduce((sum, p, i) => sum + p * observer2[i]![1], 0)
  return power.map((p) => p / y)
}

export function mixLights(a: Light, b: Light, share: number): Light {
  if (share <= 0) return a
  return {
    name: `${a.name}+${b.name}`,
    power: scaled(spectrumOf((_, i) => (1 - share) * a.power[i]! + share * b.power[i]!)),
  }
}

/** One sort of lamp, or two that mix evenly over the bench. */
export function anyLight(random: Random): Light {
  const first = lightNamed(oneName(random))
  return random.chance(0.3) ? mixLights(first, lightNamed(oneName(random)), random.between(0.05, 0.5)) : first
}

/** A cold and a warm one, as a window and a lamp are. */
export function unlikeLights(random: Random): [Light, Light] {
  const cold = lightNamed(random.pick(['D65', 'LED-B5', 'LED-B4']))
  const warm = lightNamed(random.pick(['A', 'LED-B1', 'LED-V1', 'FL3.12']))
  return random.chance(0.5) ? [cold, warm] : [warm, cold]
}

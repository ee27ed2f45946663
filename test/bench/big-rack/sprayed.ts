import { type DyeName, dyes, type GroundName, grounds } from '../../../electron/service/demonstration/palette.ts'
import type { Random } from '../../../electron/service/demonstration/random.ts'
import type { Lab } from '../../../shared-core/colour/lab.ts'
import { spectrumToLab } from '../../../shared-core/colour/spectrum.ts'
import { dyeLoad, filmAbsorbance, throughFilm } from '../../../shared-core/film/forward.ts'

/** One panel as it was sprayed: what its record says, and the true colour of each step. */
export type Sprayed = {
  ground: GroundName
  dyes: readonly { name: DyeName; parts: number }[]
  carrierParts: number
  isCleared: boolean
  /** Days before the rack's last day. */
  daysAgo: number
  tags: readonly string[]
  title: string
  steps: readonly { coats: number; lab: Lab; grain: number }[]
}

const dyeNames = Object.keys(dyes) as DyeName[]
const groundNames = Object.keys(grounds) as GroundName[]
const titles = ['Ladder', 'Blend', 'Fade', 'Try', 'Strip', 'Tank', 'Hood', 'Frame', 'Fork', 'Helmet'] as const
const tags = ['bicycle', 'guitar', 'tank', 'boat', 'sign', 'again', 'keep', 'customer', 'show'] as const

/** Most are ladders of one concentrate or two, in a handful of strengths, so that colours cluster as they do on a wall. */
export function sprayPanel(index: number, random: Random): Sprayed {
  const ground = random.pick(groundNames)
  const first = random.pick(dyeNames)
  const second = random.chance(0.45) ? random.pick(dyeNames.filter((name) => name !== first)) : null
  const blend = [
    { name: first, parts: second ? random.whole(1, 4) : 1 },
    ...(second ? [{ name: second, parts: 1 }] : []),
  ]
  const carrierParts = random.pick([4, 6, 6, 6, 8, 12])
  const isCleared = random.chance(0.8)
  const total = carrierParts * 1.8 + blend.reduce((sum, { parts }) => sum + parts, 0)
  const film = Math.exp(0.03 * random.normal())
  const coats = random.pick([
    [1, 2, 3, 4, 5],
    [0, 1, 2, 3, 4],
    [0, 2, 4, 6, 8],
    [1, 2, 4, 6, 8],
  ])
  const { reflectance, rawLoss, trapped, grain } = grounds[ground]
  const base = reflectance.map((r) => r * (isCleared ? 1 : 1 - rawLoss))
  const steps = coats.map((count) => {
    const loads = blend.map(({ name, parts }) => ({ absorbance: dyes[name], load: dyeLoad(count, parts / total) }))
    const through = throughFilm({ reflectance: base, trapped }, filmAbsorbance(loads, film))
    return { coats: count, lab: spectrumToLab(through), grain }
  })
  return {
    ground,
    dyes: blend,
    carrierParts,
    isCleared,
    daysAgo: Math.floor(random.next() * 3000),
    tags: tags.filter(() => random.chance(0.12)),
    title: `${random.pick(titles)} ${index + 1}`,
    steps,
  }
}

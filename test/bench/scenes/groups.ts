import { type Random, randomFrom } from '../../../electron/service/demonstration/random.ts'
import { differenceCiede2000 } from '../../../shared-core/colour/difference.ts'
import type { Lab } from '../../../shared-core/colour/lab.ts'
import { planShot } from './plan.ts'
import { anyCamera, type Camera, idealCamera } from './spectra/camera.ts'
import { anyLight, type Light, lightNamed } from './spectra/lights.ts'
import { labOf, type Paint, paintOf, recipe } from './spectra/paints.ts'
import { type Planned, troubles, type Wish } from './wish.ts'

export type Group = 'ideal' | 'card' | 'tiles' | 'chart' | 'setup' | 'two-panels' | 'bad'

/** Photos that belong together: one, or those of a set-up with the chart first. */
export type PlannedSet = { setup: string | null; photos: Planned[] }

/** How many sets a full run makes of each group. */
export const usualCount: Record<Group, number> = {
  ideal: 50,
  card: 110,
  tiles: 50,
  chart: 60,
  setup: 22,
  'two-panels': 60,
  bad: 63,
}
export const groups = Object.keys(usualCount) as Group[]

/** Balance error: most cameras are a few percent off, some a good deal. */
function anyBalance(random: Random): [number, number] {
  const spread = random.chance(0.25) ? 0.12 : 0.045
  return [spread * random.normal(), spread * random.normal()]
}

function anyPaints(random: Random, count = random.chance(0.4) ? 2 : 1): Paint[] {
  return Array.from({ length: count }, () => paintOf(recipe(random)))
}

/** Two panels whose difference matters: one recipe, a little more of something, 0.5 to 20 dE00 apart. */
function relatedPaints(random: Random): Paint[] {
  for (;;) {
    const one = recipe(random)
    const amount = Math.exp(0.4 * random.normal())
    const [first, second] = [paintOf(one), paintOf(one, amount)]
    const apart = differenceCiede2000(labOf(first.reflectance), labOf(second.reflectance))
    const { l }: Lab = labOf(second.reflectance)
    if (apart > 0.5 && apart < 20 && l > 20 && l < 94) return [first, second]
  }
}

type Common = { camera: Camera; light: Light }

function newCommon(random: Random): Common {
  const light = anyLight(random)
  return { light, camera: anyCamera(random, light) }
}

/** The `index`th set of a group, the same for the same seed whatever else is made. */
export function plannedSet(group: Group, index: number, seed: string): PlannedSet {
  const name = `${seed}/${group}/${index}`
  const random = randomFrom(name)
  const single = (wish: Omit<Wish, 'seed' | 'balance'>): PlannedSet => ({
    setup: null,
    photos: [named(planShot({ ...wish, seed: name, balance: anyBalance(random) }))],
  })
  const named = (planned: Planned): Planned => ({ ...planned, facts: { ...planned.facts, group } })
  if (group === 'setup') {
    const common = newCommon(random)
    const balance = anyBalance(random)
    // The camera balances anew each time; mostly it finds nearly the same.
    const again = random.chance(0.2) ? 0.08 : 0.02
    const photos = [0, 1, 2, 3].map((n) =>
      named(
        planShot({
          ...common,
          paints: anyPaints(random, n === 0 ? 1 : undefined),
          chart: n === 0,
          seed: `${name}/${n}`,
          balance: n === 0 ? balance : [balance[0] + again * random.normal(), balance[1] + again * random.normal()],
        }),
      ),
    )
    return { setup: name, photos }
  }
  if (group === 'ideal') {
    const light = lightNamed('D50')
    return single({ light, camera: idealCamera(random), paints: anyPaints(random), ideal: true })
  }
  const common = newCommon(random)
  if (group === 'tiles') return single({ ...common, paints: anyPaints(random, 1), tiles: true })
  if (group === 'chart') return single({ ...common, paints: anyPaints(random, 1), chart: true })
  if (group === 'two-panels') return single({ ...common, paints: relatedPaints(random) })
  if (group === 'bad')
    return single({ ...common, paints: anyPaints(random, 1), trouble: troubles[index % troubles.length]! })
  return single({ ...common, paints: anyPaints(random) })
}

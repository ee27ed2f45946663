import type { Material } from '../../../../shared-core/records/mixture.ts'
import type { KnownOfMaterial } from '../../../rack/queries/shelf.ts'
import type { DyeName } from '../palette.ts'
import { dyes, pearls } from '../palette.ts'
import type { Random } from '../random.ts'
import { dayOf, lastDay } from './drafts.ts'
import type { PanelIdea } from './panels.ts'

/** What stands on the shelf. Densities, prices and batches are invented; some nobody has looked up yet. */
export function shelf(random: Random): KnownOfMaterial[] {
  const batch = (): string => `${random.whole(23, 26)}-${random.whole(100, 999)}`
  const cost = (low: number, high: number): number => Math.round(random.between(low, high) * 2) / 2
  const density = (low: number, high: number): number => Math.round(random.between(low, high) * 100) / 100
  const concentrates = (Object.keys(dyes) as DyeName[]).map(
    (name): KnownOfMaterial => ({
      name,
      kind: 'concentrate',
      makerName: `${name} candy concentrate`,
      densityKgPerL: random.chance(0.7) ? density(0.9, 0.97) : null,
      costPerL: cost(90, 150),
      batch: batch(),
    }),
  )
  const liquid = (name: string, kind: Material['kind'], low: number, high: number, price: number): KnownOfMaterial => ({
    name,
    kind,
    densityKgPerL: density(low, high),
    costPerL: cost(price * 0.9, price * 1.1),
    batch: batch(),
  })
  const stock = random.fork('what is on hand')
  return [
    ...concentrates,
    { ...liquid('Tern carrier', 'carrier', 0.93, 0.97, 38), volumeSolidsPercent: 28 },
    { ...liquid('Tern hardener', 'hardener', 1.02, 1.06, 62), potLifeMin: 240 },
    { ...liquid('Medium reducer', 'reducer', 0.84, 0.88, 14), volumeSolidsPercent: 0 },
    liquid('Grey sealer', 'sealer', 1.3, 1.4, 32),
    { ...liquid('Sealer hardener', 'hardener', 1.02, 1.06, 55), potLifeMin: 60 },
    liquid('Glass clear', 'clear', 0.97, 1.01, 46),
    { ...liquid('Glass hardener', 'hardener', 1.03, 1.07, 64), potLifeMin: 90, isocyanate: true },
    liquid('Barrier clear', 'clear', 0.92, 0.96, 40),
    ...Object.values(pearls).map(
      ({ name, sparkle }): KnownOfMaterial => ({
        name,
        kind: sparkle > 0 ? 'flake' : 'pearl',
        costPerL: sparkle > 0 ? null : cost(70, 110),
        batch: batch(),
        flakeMicron: sparkle > 0 ? 200 : 25,
        notes: sparkle > 0 ? 'Goes in after straining; 1.8 mm tip or larger.' : '',
      }),
    ),
  ].map((material) => ({ ...material, ...counted(material, stock.fork(material.name)) }))
}

/** Some of it is counted, some is running low or used up, and some nobody has counted yet. */
function counted({ kind }: KnownOfMaterial, random: Random): Partial<KnownOfMaterial> {
  if (random.chance(0.12)) return {}
  const powder = kind === 'pearl' || kind === 'flake'
  // a concentrate comes in a small bottle, powder in a jar, the rest in cans
  const [full, step] = powder ? [50, 1] : kind === 'concentrate' ? [250, 5] : [1000, 25]
  const left = random.chance(0.1) ? 0 : Math.max(step, Math.round((full * random.between(0.08, 1.1)) / step) * step)
  const reorderAt = random.chance(0.6) ? full / 5 : null
  const opened = new Date(lastDay.getTime() - random.whole(3, 420) * 86_400_000)
  return {
    onShelf: left > 0,
    onHand: { amount: left, basis: powder ? 'mass' : 'volume' },
    reorderAt,
    openedOn: random.chance(0.75) ? dayOf(opened) : null,
  }
}

const brought = (
  title: string,
  ground: PanelIdea['ground'],
  blend: PanelIdea['blend'],
  carrier: number,
  coats: number,
): PanelIdea => ({
  title,
  ground,
  blend,
  carrier,
  steps: [coats],
  cleared: true,
})

/** Colours that customers want: each sprayed elsewhere, near something on the wall but not quite it. */
export const referenceIdeas: readonly PanelIdea[] = [
  brought(
    "Customer's tank, teal",
    'silver',
    [
      ['Tidewater', 3],
      ['Juniper', 1],
    ],
    6,
    3,
  ),
  brought(
    'Helmet chip, burnt orange',
    'gold',
    [
      ['Ember', 3],
      ['Kestrel', 1],
    ],
    6,
    3,
  ),
  brought(
    'Guitar body, violet',
    'silver',
    [
      ['Damson', 3],
      ['Nightjar', 1],
    ],
    6,
    3,
  ),
  brought(
    'Front fender, deep red',
    'copper',
    [
      ['Rosehip', 4],
      ['Ember', 1],
    ],
    6,
    3,
  ),
  brought('Sign board, bottle green', 'gold', [['Juniper', 1]], 5, 4),
]

/** One that came in a letter: Lab (D50, 2°) as a paint counter's instrument gave it. */
export const typedReference = { name: 'Letter from the brewery, wine red', lab: { l: 29.4, a: 43.1, b: 17.6 } }

/** Panels that were photographed again and wait in the tray, by title. */
export const waiting: readonly string[] = ['Mooring', 'Copse', 'Foxglove on gold']

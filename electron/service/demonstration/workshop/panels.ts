import type { DyeName, GroundName, PearlName } from '../palette.ts'

/** How an invented panel was sprayed; everything else about it follows from the seed. */
export type PanelIdea = {
  title: string
  ground: GroundName
  /** Concentrates of the blend with their parts. */
  blend: readonly (readonly [DyeName, number])[]
  /** Parts of carrier to one part of blend. */
  carrier: number
  /** Coats of each step, from the top down. */
  steps: readonly number[]
  /** Percent on top. */
  reducer?: number
  /** The carrier is catalysed: 4 carrier, 1 hardener. */
  catalysed?: boolean
  mid?: { pearl: PearlName; coats: number; under?: boolean }
  cleared?: boolean
  gun?: 'small' | 'old'
  status?: 'planned' | 'retired'
  notes?: string
  tags?: readonly string[]
  /** A second photo. */
  again?: 'near-glare' | 'flop' | 'sun' | 'lamp'
}

type More = Omit<PanelIdea, 'title' | 'ground' | 'blend' | 'carrier' | 'steps'>
const idea = (
  title: string,
  ground: GroundName,
  blend: PanelIdea['blend'],
  carrier: number,
  steps: readonly number[],
  more: More = {},
): PanelIdea => ({ title, ground, blend, carrier, steps, cleared: true, ...more })

const four = [1, 2, 3, 4] as const
const withBare = [0, 1, 2, 3, 4] as const

/** One dye over one ground, in steps: what everything else is worked out from. */
const ladders: readonly PanelIdea[] = [
  idea('Rosehip', 'silver', [['Rosehip', 1]], 6, withBare, { tags: ['ladder'], again: 'sun' }),
  idea('Ember', 'silver', [['Ember', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Quince', 'silver', [['Quince', 1]], 6, [0, 2, 4], { tags: ['ladder'] }),
  idea('Bracken', 'silver', [['Bracken', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Juniper', 'silver', [['Juniper', 1]], 6, [2, 4], { tags: ['ladder'] }),
  idea('Fenwater', 'silver', [['Fenwater', 1]], 6, [0, 1, 2, 3], { tags: ['ladder'] }),
  idea('Tidewater', 'silver', [['Tidewater', 1]], 6, withBare, { tags: ['ladder'], again: 'near-glare' }),
  idea('Halyard', 'silver', [['Halyard', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Nightjar', 'silver', [['Nightjar', 1]], 6, four, { tags: ['ladder'], reducer: 5 }),
  idea('Damson', 'silver', [['Damson', 1]], 6, [0, 2, 4, 6], { tags: ['ladder'] }),
  idea('Foxglove', 'silver', [['Foxglove', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Kestrel', 'silver', [['Kestrel', 1]], 6, [4], { tags: ['one go'] }),
  idea('Rosehip on gold', 'gold', [['Rosehip', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Ember on gold', 'gold', [['Ember', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Bracken on gold', 'gold', [['Bracken', 1]], 6, four, { tags: ['ladder'], gun: 'old' }),
  idea('Juniper on gold', 'gold', [['Juniper', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Tidewater on gold', 'gold', [['Tidewater', 1]], 6, four, {
    tags: ['ladder'],
    notes: 'Goes green over gold, as it should. Looks brown under the sodium lamp in the yard.',
    again: 'lamp',
  }),
  idea('Halyard on gold', 'gold', [['Halyard', 1]], 6, [0, 2, 4], { tags: ['ladder'] }),
  idea('Damson on gold', 'gold', [['Damson', 1]], 6, [1, 2, 4], { tags: ['ladder'], gun: 'small', reducer: 5 }),
  idea('Kestrel on gold', 'gold', [['Kestrel', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Ember on copper', 'copper', [['Ember', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Rosehip on copper', 'copper', [['Rosehip', 1]], 6, four, { tags: ['ladder'] }),
  idea('Bracken on copper', 'copper', [['Bracken', 1]], 6, [0, 2, 4], { tags: ['ladder'] }),
  idea('Damson on copper', 'copper', [['Damson', 1]], 6, [2, 4], { tags: ['ladder'], cleared: false }),
  idea('Kestrel on copper', 'copper', [['Kestrel', 1]], 6, [0, 1, 2, 3], { tags: ['ladder'] }),
  idea('Rosehip on charcoal', 'charcoal', [['Rosehip', 1]], 6, withBare, { tags: ['ladder'] }),
  idea('Ember on charcoal', 'charcoal', [['Ember', 1]], 6, [0, 2, 4], { tags: ['ladder'] }),
  idea('Halyard on charcoal', 'charcoal', [['Halyard', 1]], 6, withBare, { tags: ['ladder'], again: 'near-glare' }),
  idea('Fenwater on charcoal', 'charcoal', [['Fenwater', 1]], 6, four, { tags: ['ladder'] }),
  idea('Foxglove on charcoal', 'charcoal', [['Foxglove', 1]], 6, [0, 1, 2, 3], { tags: ['ladder'], gun: 'small' }),
  idea('Nightjar on charcoal', 'charcoal', [['Nightjar', 1]], 6, [1, 2, 3], { tags: ['ladder'] }),
  idea('Quince on white', 'white', [['Quince', 1]], 6, [0, 1, 2, 3], { tags: ['ladder', 'graphics'] }),
  idea('Rosehip on white', 'white', [['Rosehip', 1]], 6, withBare, {
    tags: ['ladder', 'graphics'],
    notes: 'Bled into white under the tape after two days. Barrier clear next time, before the graphics.',
  }),
  idea('Halyard on white', 'white', [['Halyard', 1]], 6, withBare, { tags: ['ladder', 'graphics'] }),
  idea('Fenwater on white', 'white', [['Fenwater', 1]], 6, [0, 2, 4], { tags: ['ladder'], cleared: false }),
]

const blends: readonly PanelIdea[] = [
  idea(
    'Hearthside',
    'silver',
    [
      ['Ember', 4],
      ['Kestrel', 1],
    ],
    6,
    four,
    { tags: ['blend'] },
  ),
  idea(
    'Old Ember',
    'gold',
    [
      ['Ember', 4],
      ['Kestrel', 1],
    ],
    6,
    withBare,
    { tags: ['blend', 'tank'], reducer: 5, again: 'flop' },
  ),
  idea(
    'Kiln',
    'copper',
    [
      ['Ember', 2],
      ['Rosehip', 1],
    ],
    6,
    four,
    { tags: ['blend'], catalysed: true },
  ),
  idea(
    'Haws',
    'gold',
    [
      ['Rosehip', 3],
      ['Ember', 1],
    ],
    6,
    [2, 4],
    { tags: ['blend'] },
  ),
  idea(
    'Harbour Lamp',
    'silver',
    [
      ['Tidewater', 4],
      ['Juniper', 1],
    ],
    6,
    withBare,
    { tags: ['blend', 'helmet'], again: 'sun' },
  ),
  idea(
    'Slack Water',
    'charcoal',
    [
      ['Tidewater', 4],
      ['Juniper', 1],
    ],
    6,
    four,
    { tags: ['blend'] },
  ),
  idea(
    'Mooring',
    'silver',
    [
      ['Halyard', 3],
      ['Nightjar', 1],
    ],
    6,
    four,
    { tags: ['blend', 'guitar'], catalysed: true },
  ),
  idea(
    'Winter Plum',
    'silver',
    [
      ['Damson', 1],
      ['Rosehip', 1],
    ],
    6,
    withBare,
    { tags: ['blend'] },
  ),
  idea(
    'Bramble Wine',
    'copper',
    [
      ['Foxglove', 2],
      ['Damson', 1],
    ],
    6,
    [0, 1, 2, 3],
    { tags: ['blend'] },
  ),
  idea(
    'Copse',
    'gold',
    [
      ['Juniper', 3],
      ['Bracken', 1],
    ],
    5,
    four,
    { tags: ['blend'], gun: 'old' },
  ),
  idea(
    'Verdigris Door',
    'silver',
    [
      ['Fenwater', 5],
      ['Juniper', 2],
    ],
    8,
    [0, 2, 4, 6],
    { tags: ['blend'], notes: 'At 8 : 1 it takes six coats to get anywhere, but it lays very even.' },
  ),
  idea(
    'Peat Cutter',
    'gold',
    [
      ['Kestrel', 2],
      ['Damson', 1],
    ],
    6,
    [2, 4],
    { tags: ['blend'], cleared: false },
  ),
  idea(
    'Lantern Room',
    'white',
    [
      ['Quince', 3],
      ['Ember', 1],
    ],
    10,
    [0, 2, 4],
    { tags: ['blend', 'graphics'] },
  ),
  idea(
    'Estuary',
    'charcoal',
    [
      ['Halyard', 2],
      ['Fenwater', 1],
    ],
    6,
    withBare,
    { tags: ['blend'], cleared: false, again: 'flop' },
  ),
]

const midCoats: readonly PanelIdea[] = [
  idea(
    'Harbour Lamp, hoarfrost',
    'silver',
    [
      ['Tidewater', 4],
      ['Juniper', 1],
    ],
    6,
    [2, 4],
    { mid: { pearl: 'hoarfrost', coats: 2 }, tags: ['blend', 'pearl', 'helmet'] },
  ),
  idea(
    'Mooring, minnow',
    'silver',
    [
      ['Halyard', 3],
      ['Nightjar', 1],
    ],
    6,
    four,
    { mid: { pearl: 'minnow', coats: 2 }, tags: ['blend', 'pearl'], again: 'near-glare' },
  ),
  idea('Rosehip, cowslip', 'charcoal', [['Rosehip', 1]], 6, [2, 4], {
    mid: { pearl: 'cowslip', coats: 2 },
    tags: ['pearl'],
  }),
  idea('Fenwater, stardrift', 'silver', [['Fenwater', 1]], 6, [0, 2, 4], {
    mid: { pearl: 'stardrift', coats: 2 },
    tags: ['flake'],
    again: 'lamp',
    notes: 'Flake went in after straining. 1.8 tip, three clears to bury it.',
  }),
  idea('Ember under cowslip', 'gold', [['Ember', 1]], 6, [1, 2, 3], {
    mid: { pearl: 'cowslip', coats: 3 },
    tags: ['pearl'],
    gun: 'small',
    reducer: 10,
  }),
  idea('Damson over hoarfrost', 'white', [['Damson', 1]], 6, [0, 1, 2, 3], {
    mid: { pearl: 'hoarfrost', coats: 3, under: true },
    tags: ['pearl'],
  }),
  idea('Nightjar over minnow', 'charcoal', [['Nightjar', 1]], 6, [2, 4], {
    mid: { pearl: 'minnow', coats: 2, under: true },
    tags: ['pearl'],
    cleared: false,
  }),
  idea(
    'Signal Fire',
    'silver',
    [
      ['Ember', 1],
      ['Rosehip', 1],
    ],
    6,
    [4],
    { mid: { pearl: 'stardrift', coats: 1 }, tags: ['flake', 'one go', 'tank'], catalysed: true },
  ),
]

const others: readonly PanelIdea[] = [
  idea('Juniper, first batch', 'silver', [['Juniper', 1]], 6, [4], {
    status: 'retired',
    tags: ['one go'],
    notes: 'Hung in the south window for two summers and faded to straw. Kept as a warning, not for matching.',
  }),
  idea('Foxglove on gold', 'gold', [['Foxglove', 1]], 6, withBare, { tags: ['ladder', 'blush'] }),
  idea(
    'Marsh Light',
    'gold',
    [
      ['Quince', 4],
      ['Juniper', 1],
    ],
    6,
    withBare,
    {
      status: 'planned',
      cleared: false,
      tags: ['blend'],
      notes: 'Between Quince and Juniper there is nothing on the wall yet.',
    },
  ),
]

export const panelIdeas: readonly PanelIdea[] = [...ladders, ...blends, ...midCoats, ...others]

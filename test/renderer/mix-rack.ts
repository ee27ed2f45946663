import { Refusal } from '../../shared-core/contract/refusal.ts'
import { cupLineOf } from '../../shared-core/mix/cup/cup-lines.ts'
import { planPour } from '../../shared-core/mix/cup/pour-plan.ts'
import { fillCup } from '../../shared-core/mix/cup/targets.ts'
import { startClock } from '../../shared-core/mix/spray/clocks.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import type { CustomerJob } from '../../shared-core/records/customer-job.ts'
import { type Material, type Mixture, namedMaterial } from '../../shared-core/records/mixture.ts'
import type { Panel } from '../../shared-core/records/panel.ts'
import type { Answers } from './fake-client.ts'
import { listed, panel, shown } from './sample-rack.ts'

/** A bench in memory: cups are started, poured and finished as the contract words it. Invented names throughout. */

const shelved = (id: string, name: string, kind: Material['kind'], more: Partial<Material> = {}): Material => ({
  ...namedMaterial(id, name, kind),
  densityKgPerL: 0.95,
  ...more,
})

export const materials: Material[] = [
  shelved('m-tide', 'Tidewater', 'concentrate', {
    volumeSolidsPercent: 20,
    batch: 'T-88',
    onHand: { amount: 60, basis: 'volume' },
  }),
  shelved('m-juni', 'Juniper', 'concentrate', { volumeSolidsPercent: 20 }),
  shelved('m-carr', 'Carrier', 'carrier', { volumeSolidsPercent: 30, densityKgPerL: 0.9 }),
  shelved('m-slow', 'Slow reducer', 'reducer', { volumeSolidsPercent: 0, densityKgPerL: 0.87 }),
  shelved('m-hard', 'Hardener', 'hardener', { volumeSolidsPercent: 50, potLifeMin: 90 }),
  shelved('m-clear', 'Gloss clear', 'clear', { volumeSolidsPercent: 45 }),
  shelved('m-flake', 'Silver flake', 'flake', { flakeMicron: 200 }),
  shelved('m-bare', 'Windfall', 'concentrate', { densityKgPerL: null }),
]

const part = (name: string, amount: number, unit: 'parts' | 'percent-on-top' | 'grams-per-litre' = 'parts') => {
  const { id, kind } = materials.find((each) => each.name === name)!
  return { amount, unit, material: { id, name, kind }, mixture: null }
}
const mixed = (name: string, ...parts: Mixture['parts']): Mixture => ({ name, basis: 'volume', parts })

/** 4 : 1 in 6 : 1, the ratio whose 210 mL are 24 + 6 + 180 mL (common practice, no source). */
export const candy = mixed(
  '',
  { amount: 1, unit: 'parts', material: null, mixture: mixed('blend', part('Tidewater', 4), part('Juniper', 1)) },
  part('Carrier', 6),
)
export const flaked: Mixture = { ...candy, parts: [part('Silver flake', 30, 'grams-per-litre'), ...candy.parts] }
export const clear = mixed('', part('Gloss clear', 2), part('Hardener', 1))
export const unweighed = mixed('', part('Windfall', 1), part('Carrier', 6))

export const candyPanel: Panel = {
  ...panel,
  layers: panel.layers.map((layer) =>
    layer.kind === 'candy'
      ? { ...layer, mixture: candy }
      : layer.kind === 'clear'
        ? { ...layer, mixture: clear }
        : layer,
  ),
}

export const job: CustomerJob = {
  id: 'job-1',
  code: 'J-0007',
  title: 'Tank and mudguards',
  customer: 'Heron',
  status: 'open',
  referenceId: null,
  candidates: [],
  formula: { panelId: panel.id, stepId: null, mixture: candy, ground: 'copper', coats: 4, gunSetup: null },
  parts: [
    {
      id: 'part-tank',
      name: 'Tank',
      areaM2: 0.5,
      areaDoubt: 0.1,
      surface: { shape: 'typed', measures: { areaM2: 0.5, doubtPercent: 10 } },
      sprayed: null,
    },
    {
      id: 'part-guard',
      name: 'Mudguards',
      areaM2: 0.3,
      areaDoubt: 0.05,
      surface: { shape: 'typed', measures: { areaM2: 0.3, doubtPercent: 5 } },
      sprayed: null,
    },
  ],
  tolerance: 1.5,
  checks: [],
  decisions: [],
  dueOn: null,
  notes: '',
  createdAt: '2031-05-01T08:00:00Z',
}

const densityOf = ({ id }: { id: string | null }) => materials.find((each) => each.id === id)?.densityKgPerL ?? null

export type StartWanted = Pick<Cup, 'mixture' | 'target' | 'measure' | 'cupMl' | 'tipMm' | 'title'> &
  Partial<Pick<Cup, 'customerJobId' | 'panelId'>>

export const byScale = { by: 'mass', step: 0.1, dropMl: null } as const
export const byCup = { by: 'volume', step: 1, dropMl: null } as const

/** A cup as the service makes it. */
export function cupOf(wanted: StartWanted, no = 1): Cup {
  const { basis, amount } = wanted.target
  const whole = fillCup(wanted.mixture, { kind: 'amount', basis, amount }, densityOf)
  const { lines } = planPour(whole, wanted.measure, densityOf)
  return {
    customerJobId: null,
    panelId: null,
    ...wanted,
    id: `cup-${no}`,
    code: `C-${String(no).padStart(4, '0')}`,
    lines: lines.map((line, at) => cupLineOf(line, `cup-${no}-line-${at}`)!),
    status: 'pouring',
    startedAt: new Date().toISOString(),
    mixedAt: null,
    mixedBy: '',
    standUntil: null,
    potLifeUntil: null,
    hardenerAt: null,
    notes: '',
  }
}

export const wantedOf = (mixture: Mixture, amount: number, measure: Cup['measure'] = byScale): StartWanted => ({
  title: 'Tidewater',
  mixture,
  target: { basis: 'volume', amount, words: `${amount} mL` },
  measure,
  cupMl: 400,
  tipMm: 1.3,
})

export type BenchRack = { cups: Cup[]; answers: Answers }

/** Cups that are kept; what is not there is refused as the service does. */
export function benchRack(first: readonly Cup[] = []): BenchRack {
  const rack: BenchRack = { cups: [...first], answers: {} }
  const find = (key: string): Cup => {
    const cup = rack.cups.find(({ id, code }) => id === key || code === key)
    if (!cup) throw new Refusal('cup/absent', `There is no cup ${key}.`, 'See the cups there are.')
    return cup
  }
  const keep = (cup: Cup): Cup => {
    rack.cups = rack.cups.map((each) => (each.id === cup.id ? cup : each))
    return cup
  }
  rack.answers = {
    'materials.list': () => ({ materials }),
    'panels.get': () => ({ ...shown, panel: candyPanel }),
    'panels.list': ({ filter }) => listed(filter),
    'customerJobs.list': () => ({ jobs: [job] }),
    'customerJobs.get': () => ({ job, outcomes: [], cups: [] }),
    'cups.list': () => ({ cups: rack.cups.toReversed() }),
    'cups.get': ({ key }) => ({ cup: find(key) }),
    'cups.predictChange': () => ({ de00: 0.4, words: 'Hardly to be seen', why: '' }),
    'cups.drawCard': () => ({ documentId: 'card', pageCount: 1, fileName: 'card.pdf' }),
    'cups.start': ({ count, ...wanted }) => {
      const made = Array.from({ length: count }, (_, at) => cupOf(wanted, rack.cups.length + at + 1))
      rack.cups.push(...made)
      return { cups: made }
    },
    'cups.pour': ({ cupId, lineId, poured, accepted = false, batch }) => {
      const cup = find(cupId)
      const lines = cup.lines.map((line) => (line.id === lineId ? { ...line, poured, accepted, batch } : line))
      const hardens = lines.some((line) => line.kind === 'hardener' && line.poured !== null)
      const hardenerAt = hardens ? (cup.hardenerAt ?? new Date().toISOString()) : null
      return { cup: keep({ ...cup, lines, hardenerAt }) }
    },
    'cups.finish': ({ cupId, mixedBy, standMin, potLifeMin, notes }) => {
      const mixedAt = new Date().toISOString()
      const found = find(cupId)
      const hardensFrom = found.hardenerAt ?? mixedAt
      const cup = keep({
        ...found,
        status: 'mixed',
        mixedAt,
        mixedBy,
        notes,
        standUntil: standMin === null ? null : startClock('stand', mixedAt, standMin).until,
        potLifeUntil: potLifeMin === null ? null : startClock('pot-life', hardensFrom, potLifeMin).until,
      })
      return { cup, short: ['Juniper: nobody counted it, so nothing was taken off.'] }
    },
    'cups.throwAway': ({ cupId }) => {
      keep({ ...find(cupId), status: 'thrown-away' })
      return {}
    },
  }
  return rack
}

import type { FactGroup, HistoryValue, PanelStood } from '../../../../shared-core/records/history.ts'
import type { Layer } from '../../../../shared-core/records/panel.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { compareFacts, day, type Fact, type Group, names, number, quantity, text, yes } from './facts.ts'

/** What a panel says, fact by fact, in a painter's words. */
export function panelFacts(stood: PanelStood | null): Group[] {
  if (!stood) return []
  const { panel, readings, photos, inTrash } = stood
  const facts: Fact[] = [
    fact('Code', text(panel.code)),
    fact('Title', text(panel.title)),
    fact('State', text(states[panel.status])),
    fact('In the trash', inTrash ? yes(true) : null),
    fact('Sprayed on', day(panel.sprayedOn)),
    fact('Sprayed by', text(panel.sprayedBy)),
    fact('Substrate', text(panel.substrate)),
    fact('Tags', names(panel.tags)),
    fact('Notes', text(panel.notes)),
  ]
  return [
    { key: 'panel', name: 'Panel', facts },
    ...panel.layers.map(layerFacts),
    ...panel.steps.map(
      (step, i): Group => ({
        key: `step ${step.id}`,
        name: `Step ${i + 1}, ${step.coats === 0 ? 'bare' : `${step.coats} ${step.coats === 1 ? 'coat' : 'coats'}`}`,
        facts: [
          fact('Coats', { kind: 'coats', coats: step.coats }),
          fact('Notes', text(step.notes)),
          ...readings.filter(({ stepId }) => stepId === step.id).map(readingFact),
        ],
      }),
    ),
    {
      key: 'photos',
      name: 'Photos',
      facts: photos.map((photo) => ({ key: photo.id, name: 'Photo', value: text(photo.name) })),
    },
  ]
}

export const comparePanels = (before: PanelStood | null, after: PanelStood | null): FactGroup[] =>
  compareFacts(panelFacts(before), panelFacts(after))
    .filter(({ did, facts }) => facts.length > 0 || did !== 'kept')
    .map((group) =>
      group.did === 'added' || group.did === 'removed'
        ? { ...group, facts: group.facts.filter(({ name }) => !inGroupName.has(name)) }
        : group,
    )

/** What a new or removed layer's heading says already. */
const inGroupName = new Set(['Place in the build', 'Kind', 'Name'])

const fact = (name: string, value: HistoryValue | null): Fact => ({ key: name, name, value })

const states = { planned: 'planned', sprayed: 'sprayed', retired: 'retired' } as const

const spaced = (word: string): string => word.replaceAll('-', ' ')

function layerFacts(layer: Layer, i: number): Group {
  const { gunSetup: gun, booth } = layer
  return {
    key: `layer ${layer.id}`,
    name: [`Layer ${i + 1}, ${spaced(layer.kind)}`, layer.name].filter(Boolean).join(', '),
    facts: [
      fact('Place in the build', number(i + 1, 0, '')),
      fact('Kind', text(spaced(layer.kind))),
      fact('Name', text(layer.name)),
      fact('Coats', { kind: 'coats', coats: layer.coats }),
      fact('Mixture', layer.mixture && { kind: 'mixture', mixture: withoutIds(layer.mixture) }),
      fact('Gun set-up', text(gun?.name)),
      fact('Gun', text(gun?.gun)),
      fact('Tip', quantity(gun?.tipMm ?? null, 'tip')),
      fact('Inlet, trigger pulled', quantity(gun?.inletKpa ?? null, 'pressure')),
      fact('At the cap', quantity(gun?.capKpa ?? null, 'pressure')),
      fact('Distance', quantity(gun?.distanceMm ?? null, 'distance')),
      fact('Overlap', number(gun?.overlapPercent ?? null, 0, '%')),
      fact('Booth', quantity(booth?.temperatureC ?? null, 'temperature')),
      fact('Humidity', number(booth?.humidityPercent ?? null, 0, '%')),
      fact('Between coats', number(booth?.flashOffMin ?? null, 0, 'min')),
      fact('Reducer', text(booth?.reducerGrade)),
      fact('Notes', text(layer.notes)),
    ],
  }
}

type Mixture = NonNullable<Layer['mixture']>

/** The same words are the same mixture, whichever row of the shelf they stand for. */
function withoutIds(mixture: Mixture): Mixture {
  return {
    ...mixture,
    parts: mixture.parts.map((part) => ({
      ...part,
      material: part.material && { ...part.material, id: null },
      mixture: part.mixture && withoutIds(part.mixture),
    })),
  }
}

export const colourOf = (reading: Pick<Reading, 'lab' | 'bound90' | 'illuminant' | 'observer'>): HistoryValue => ({
  kind: 'colour',
  lab: reading.lab,
  bound90: reading.bound90,
  illuminant: reading.illuminant,
  observer: reading.observer,
})

function readingFact(reading: Reading): Fact {
  return {
    key: reading.id,
    name: `Reading, ${spaced(reading.view)}, ${reading.stage}`,
    value: colourOf(reading),
  }
}

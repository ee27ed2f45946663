import { formatQuantity, type Measure } from '../../../../shared-core/mix/units.ts'
import type { Layer } from '../../../../shared-core/records/panel.ts'
import type { Settings } from '../../../../shared-core/records/settings.ts'
import { decimalSign, sayNumber, usesUsUnits } from '../../../parts/say-numbers.ts'
import { useStore } from '../../../state/store.ts'

/** Gun and booth of each layer where they are written down. */
export function HowItWentOn({ layers }: { layers: Layer[] }) {
  const settings = useStore((s) => s.settings)
  const told = [...layers.filter(makesColour), ...layers.filter((layer) => !makesColour(layer))]
  return told.map((layer, i) => {
    const facts = factsOf(layer, settings)
    if (facts.length === 0) return null
    return (
      <div key={layer.id ?? i} className="block">
        <h3>{headOf(layer)}</h3>
        <dl className="panel-facts">
          {facts.map(([name, value]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      </div>
    )
  })
}

/** Candy first: its colour is its thickness, so how it went on counts most. */
const makesColour = (layer: Layer): boolean => ['candy', 'solid', 'mid-coat'].includes(layer.kind)

function headOf(layer: Layer): string {
  return `How the ${layer.kind.replace('-', ' ')} went on`
}

/** What is written down, in the user's units; what is not is left out. */
export function factsOf(layer: Layer, settings: Settings): [name: string, value: string][] {
  const system = usesUsUnits(settings) ? 'us' : 'metric'
  const decimal = decimalSign(settings)
  const say = (value: number | null | undefined, measure: Measure) =>
    value === null || value === undefined ? null : formatQuantity(value, measure, system, decimal)
  const percent = (value: number | null | undefined) =>
    value === null || value === undefined ? null : `${sayNumber(value, 0, settings)} %`
  const { gunSetup: gun, booth } = layer
  const inlet = say(gun?.inletKpa, 'pressure')
  const air = [say(booth?.temperatureC, 'temperature'), percent(booth?.humidityPercent)].filter(Boolean).join(', ')
  const facts: [string, string | null][] = [
    ['Set-up', gun?.name || null],
    ['Gun', gun?.gun || null],
    ['Tip', say(gun?.tipMm, 'tip')],
    ['Inlet', inlet && `${inlet}, trigger pulled`],
    ['Cap', say(gun?.capKpa, 'pressure')],
    ['Distance', say(gun?.distanceMm, 'distance')],
    ['Overlap', percent(gun?.overlapPercent)],
    ['Booth', air || null],
    [
      'Between coats',
      booth?.flashOffMin === null || booth?.flashOffMin === undefined
        ? null
        : `${sayNumber(booth.flashOffMin, 0, settings)} min`,
    ],
    ['Reducer', booth?.reducerGrade || null],
  ]
  return facts.filter((fact): fact is [string, string] => fact[1] !== null)
}

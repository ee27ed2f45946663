import { View } from '../../../shared-core/records/colour.ts'
import { viewInWords } from '../../parts/views-in-words.ts'
import { useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'
import { narrow, useMatch } from './match-state.ts'

/** Which panels and readings are compared, as a sentence of choices. */
export function MatchFilters() {
  const { filter, readings, shows } = useMatch()
  const lights = useStore((s) => s.lights)
  const { value: words } = useAnswer('panels.listWords', {})
  const cleared = filter.cleared === null ? '' : filter.cleared ? 'yes' : 'no'
  return (
    <div className="match-filters" role="group" aria-label="Compare with">
      <Choice
        label="Ground"
        any="any ground"
        value={filter.grounds[0] ?? ''}
        options={(words?.grounds ?? []).map((g) => [g, g])}
        onChoose={(ground) => narrow({ grounds: ground ? [ground] : [] })}
      />
      <Choice
        label="Candy"
        any="any candy"
        value={filter.candies[0] ?? ''}
        options={(words?.candies ?? []).map((c) => [c, c])}
        onChoose={(candy) => narrow({ candies: candy ? [candy] : [] })}
      />
      <Choice
        label="Clear"
        any="cleared or not"
        value={cleared}
        options={[
          ['yes', 'cleared'],
          ['no', 'not cleared'],
        ]}
        onChoose={(yes) => narrow({ cleared: yes === '' ? null : yes === 'yes' })}
      />
      <Choice
        label="View"
        any="any view"
        value={readings.view ?? ''}
        options={View.options.map((view) => [view, viewInWords[view]])}
        onChoose={(view) => narrow({}, { view: view === '' ? null : View.parse(view) })}
      />
      <Choice
        label="Light"
        any="any light"
        value={readings.lightId ?? ''}
        options={lights.map((light) => [light.id, light.name])}
        onChoose={(lightId) => narrow({}, { lightId: lightId || null })}
      />
      <div className="pair push" role="group" aria-label="Swatches show">
        {(['colours', 'photos'] as const).map((kind) => (
          <button
            key={kind}
            type="button"
            aria-pressed={shows === kind}
            onClick={() => useMatch.setState({ shows: kind })}
          >
            {kind === 'colours' ? 'Colours' : 'Photos'}
          </button>
        ))}
      </div>
    </div>
  )
}

type ChoiceProps = {
  label: string
  any: string
  value: string
  options: (readonly [string, string])[]
  onChoose: (value: string) => void
}

function Choice({ label, any, value, options, onChoose }: ChoiceProps) {
  return (
    <select
      className={`select of-${label.toLowerCase()} ${value === '' ? '' : 'narrowed'}`}
      aria-label={label}
      value={value}
      onChange={(event) => onChoose(event.target.value)}
    >
      <option value="">{any}</option>
      {options.map(([key, words]) => (
        <option key={key} value={key}>
          {words}
        </option>
      ))}
    </select>
  )
}

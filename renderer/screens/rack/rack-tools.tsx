import { useShallow } from 'zustand/react/shallow'
import type { PanelSort } from '../../../shared-core/records/panel.ts'
import { addPhotos } from '../../commands/rack/add-photos.ts'
import { exportReadings } from '../../commands/rack/export-readings.ts'
import { newPanel } from '../../commands/rack/new-panel.ts'
import { printIndex } from '../../commands/rack/print-index.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { Chevron } from '../../parts/icons.tsx'
import { useStore } from '../../state/store.ts'

const sorts: Record<PanelSort, string> = {
  code: 'code',
  hue: 'hue',
  lightness: 'lightness',
  ground: 'ground',
  candy: 'candy',
  date: 'date',
}

/** Order and size of the wall, choosing, and the two ways to more panels. */
export function RackTools({ choosing, onChoosing }: { choosing: boolean; onChoosing: (on: boolean) => void }) {
  const [sort, grouped, size, setView] = useStore(useShallow((s) => [s.sort, s.groupByGround, s.cardSize, s.setView]))
  const noneChosen = useStore((s) => s.chosen.length === 0)
  return (
    <div className="rack-tools">
      <label className="rack-drop">
        <span>Grouped by</span>
        <select
          value={grouped ? 'ground' : 'nothing'}
          onChange={(event) => setView({ groupByGround: event.target.value === 'ground' })}
        >
          <option value="ground">ground</option>
          <option value="nothing">nothing</option>
        </select>
        <Chevron />
      </label>
      <label className="rack-drop">
        <span>sorted by</span>
        <select value={sort} onChange={(event) => setView({ sort: event.target.value as PanelSort })}>
          {Object.entries(sorts).map(([key, name]) => (
            <option key={key} value={key}>
              {name}
            </option>
          ))}
        </select>
        <Chevron />
      </label>
      <label className="rack-size push">
        <span>Size</span>
        <input
          className="rule-input"
          type="range"
          min={56}
          max={224}
          step={8}
          value={size}
          aria-valuetext={`${size} wide`}
          onChange={(event) => setView({ cardSize: event.target.valueAsNumber })}
        />
      </label>
      <button
        type="button"
        className="btn rack-choose"
        aria-pressed={choosing}
        title="While this is on, a press chooses a panel instead of opening it (Space and Ctrl-click always choose)"
        onClick={() => onChoosing(!choosing)}
      >
        {choosing ? 'Choosing' : 'Choose'}
      </button>
      {/* of all that is shown; for those chosen it stands in their own bar */}
      {noneChosen ? <CommandButton command={exportReadings} look="plain" /> : null}
      {noneChosen ? <CommandButton command={printIndex} look="plain" /> : null}
      <CommandButton command={addPhotos} />
      <CommandButton command={newPanel} look="main" />
    </div>
  )
}

import { useShallow } from 'zustand/react/shallow'
import type { PanelSort } from '../../../shared-core/records/panel.ts'
import type { PanelGroup } from '../../../shared-core/records/wall.ts'
import { addPhotos } from '../../commands/rack/add-photos.ts'
import { exportReadings } from '../../commands/rack/export-readings.ts'
import { findSuspects } from '../../commands/rack/find-suspects.ts'
import { newPanel } from '../../commands/rack/new-panel.ts'
import { printIndex } from '../../commands/rack/print-index.ts'
import { safeKeeping } from '../../commands/rack/safe-keeping.ts'
import { takeNotebook } from '../../commands/rack/take-notebook.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { CommandMenu } from '../../parts/command-menu.tsx'
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
const groups: Record<PanelGroup, string> = {
  none: 'nothing',
  ground: 'ground',
  candy: 'candy',
  hue: 'hue',
  lightness: 'lightness',
  date: 'date',
}
/** What is not needed at every turn; of all that is shown. */
const more = [printIndex, exportReadings, findSuspects, takeNotebook, safeKeeping]

/** Order and size of the wall, wall or map, choosing, and the ways to more panels. */
export function RackTools() {
  const [sort, group, rackView, choosing, setView] = useStore(
    useShallow((s) => [s.sort, s.group, s.rackView, s.choosing, s.setView]),
  )
  const wall = rackView === 'wall'
  return (
    <div className="rack-tools">
      {wall ? (
        <>
          <Drop label="Grouped by" value={group} of={groups} onChange={(next) => setView({ group: next })} />
          <Drop label="sorted by" value={sort} of={sorts} onChange={(next) => setView({ sort: next })} />
          <CardSize />
        </>
      ) : (
        <span className="push" />
      )}
      <div className="pair" role="group" aria-label="Wall or colour map">
        <button type="button" aria-pressed={wall} title="Wall (M)" onClick={() => setView({ rackView: 'wall' })}>
          Wall
        </button>
        <button type="button" aria-pressed={!wall} title="Colour map (M)" onClick={() => setView({ rackView: 'map' })}>
          Colour map
        </button>
      </div>
      {wall ? (
        <button
          type="button"
          className="btn rack-choose"
          aria-pressed={choosing}
          title="While this is on, a press chooses a panel instead of opening it (Space and Ctrl-click always choose, dragging a frame too)"
          onClick={() => setView({ choosing: !choosing })}
        >
          {choosing ? 'Choosing' : 'Choose'}
        </button>
      ) : null}
      <CommandMenu label="More" commands={more} />
      <CommandButton command={addPhotos} />
      <CommandButton command={newPanel} look="main" />
    </div>
  )
}

type DropProps<K extends string> = { label: string; value: K; of: Record<K, string>; onChange: (value: K) => void }

function Drop<K extends PanelSort | PanelGroup>({ label, value, of, onChange }: DropProps<K>) {
  return (
    <label className="rack-drop">
      <span>{label}</span>
      <select value={value} onChange={(event) => onChange(event.target.value as K)}>
        {Object.entries<string>(of).map(([key, name]) => (
          <option key={key} value={key}>
            {name}
          </option>
        ))}
      </select>
      <Chevron />
    </label>
  )
}

function CardSize() {
  const [size, setView] = useStore(useShallow((s) => [s.cardSize, s.setView]))
  return (
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
  )
}

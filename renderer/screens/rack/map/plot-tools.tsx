import type { Command } from '../../../commands/command.ts'
import { chordInWords } from '../../../commands/keyboard.ts'
import { mapFit, mapZoomIn, mapZoomOut } from '../../../commands/rack/map-zoom.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { Minus, Plus } from '../../../parts/icons.tsx'
import { useStore } from '../../../state/store.ts'
import { sizeRing, toggleRing } from './map-acts.ts'
import { type MapTool, useMap } from './map-state.ts'

const tools: readonly { tool: MapTool; word: string; hint: string }[] = [
  { tool: 'only', word: 'Loop', hint: 'Drag around panels to choose them' },
  { tool: 'add', word: 'Add', hint: 'Drag around panels to choose them too (Shift while dragging)' },
  { tool: 'away', word: 'Take away', hint: 'Drag around chosen panels to let them go (Alt while dragging)' },
  { tool: 'move', word: 'Move', hint: 'Drag to move the map (always with the middle button, or two fingers)' },
]

/** What a drag does, the ring for the keyboard, and how close one looks. */
export function PlotTools({ keysShown, onKeys }: { keysShown: boolean; onKeys: () => void }) {
  const tool = useMap((s) => s.tool)
  const hasRing = useMap((s) => s.ring !== null)
  return (
    <div className="map-tools" role="toolbar" aria-label="Colour map">
      <span className="pair">
        {tools.map((one) => (
          <button
            key={one.tool}
            type="button"
            aria-pressed={tool === one.tool}
            title={one.hint}
            onClick={() => useMap.setState({ tool: one.tool })}
          >
            {one.word}
          </button>
        ))}
      </span>
      <span className="pair">
        <button
          type="button"
          aria-pressed={hasRing}
          title="A round loop that the arrow keys move (R)"
          onClick={toggleRing}
        >
          Ring
        </button>
        {hasRing ? (
          <>
            <button type="button" aria-label="Smaller ring" title="Smaller (Alt ↓)" onClick={() => sizeRing(1 / 1.2)}>
              <Minus />
            </button>
            <button type="button" aria-label="Larger ring" title="Larger (Alt ↑)" onClick={() => sizeRing(1.2)}>
              <Plus />
            </button>
          </>
        ) : null}
      </span>
      <span className="push" />
      <button type="button" className="btn plain" aria-expanded={keysShown} onClick={onKeys}>
        Keys
      </button>
      <span className="pair">
        <SignButton command={mapZoomOut} sign={<Minus />} />
        <SignButton command={mapZoomIn} sign={<Plus />} />
      </span>
      <CommandButton command={mapFit} />
    </div>
  )
}

function SignButton({ command, sign }: { command: Command; sign: React.ReactNode }) {
  const label = useStore((s) => command.label(s))
  const shortcut = command.shortcut ? ` (${chordInWords(command.shortcut)})` : ''
  return (
    <button
      type="button"
      aria-label={label}
      title={label + shortcut}
      onClick={() => void command.run(useStore.getState())}
    >
      {sign}
    </button>
  )
}

const keys: readonly { keys: readonly string[]; does: string }[] = [
  { keys: ['Arrows'], does: 'walk from panel to panel' },
  { keys: ['.', ','], does: 'one after the other, around the hues' },
  { keys: ['Space'], does: 'choose it, or what is in the ring' },
  { keys: ['Enter'], does: 'open the panel' },
  { keys: ['R'], does: 'ring on or off; arrows move it, Shift far' },
  { keys: ['Alt ↑', 'Alt ↓'], does: 'larger, smaller ring' },
  { keys: ['Shift Space'], does: 'add what is in the ring' },
  { keys: ['Backspace'], does: 'take it away' },
  { keys: ['+', '−', '0'], does: 'closer, farther, whole map' },
  { keys: ['Shift arrows'], does: 'move the map' },
  { keys: ['Page ↑', 'Page ↓'], does: 'lighter, darker' },
  { keys: ['G', 'Shift G'], does: 'next gap, the one before' },
]

export function PlotKeys({ id, shown }: { id: string; shown: boolean }) {
  return (
    <div id={id} className={shown ? 'map-keys keys' : 'vh'}>
      {keys.map((one) => (
        <span key={one.does}>
          {one.keys.map((key) => (
            <kbd key={key}>{key}</kbd>
          ))}
          {one.does}
        </span>
      ))}
    </div>
  )
}

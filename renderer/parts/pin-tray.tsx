import './pin-tray.css'
import { comparePinned, letGoPins } from '../commands/match/compare-pins.ts'
import { usePinned } from '../state/pins.ts'
import { CommandButton } from './command-button.tsx'
import { Paint } from './lab-swatch.tsx'

/** What is pinned, touching, and the way to lay it side by side; nothing while nothing is pinned. */
export function PinTray() {
  const pins = usePinned()
  if (pins.length === 0) return null
  const names = pins.map(({ name }) => name).join(', ')
  return (
    <div className="pin-tray" role="group" aria-label="Pinned">
      <span className="pin-paints" aria-hidden="true">
        {pins.map(({ item, lab }) => (
          <Paint key={JSON.stringify(item)} lab={lab} label="" flat />
        ))}
      </span>
      <p title={names} role="status">
        <b>{pins.length} pinned</b>
        <span className="vh">{`: ${names}`}</span>
      </p>
      <CommandButton command={comparePinned} look="main" />
      <CommandButton command={letGoPins} look="plain" />
    </div>
  )
}

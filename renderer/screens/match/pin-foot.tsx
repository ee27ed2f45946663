import { PinTray } from '../../parts/pin-tray.tsx'
import { usePinned } from '../../state/pins.ts'

const words = {
  walk: (
    <span key="walk">
      <kbd>Up</kbd>
      <kbd>Down</kbd> walk
    </span>
  ),
  open: (
    <span key="open">
      <kbd>Enter</kbd> open
    </span>
  ),
  pin: (
    <span key="pin">
      <kbd>Space</kbd> pin
    </span>
  ),
} as const

/** Keys, and once something is pinned, the tray of pins in their place. */
export function PinFoot({ keys }: { keys: readonly (keyof typeof words)[] }) {
  const pinned = usePinned().length > 0
  return (
    <div className="match-foot">{pinned ? <PinTray /> : <p className="keys">{keys.map((key) => words[key])}</p>}</div>
  )
}

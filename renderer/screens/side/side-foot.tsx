import { againstFirst } from '../../commands/side/against-first.ts'
import { blink } from '../../commands/side/blink.ts'
import { fillScreen } from '../../commands/side/fill-screen.ts'
import { hideNames } from '../../commands/side/hide-names.ts'
import { holdBlink } from '../../commands/side/hold-blink.ts'
import { moves } from '../../commands/side/move-item.ts'
import { openItem } from '../../commands/side/open-item.ts'
import { otherReading } from '../../commands/side/other-reading.ts'
import { showOther } from '../../commands/side/show-other.ts'
import { switchShown } from '../../commands/side/switch-shown.ts'
import { takeAway } from '../../commands/side/take-away.ts'
import { turnRow } from '../../commands/side/turn-row.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { gamutHow } from '../../parts/gamut-word.ts'
import { BeyondScreen } from '../../parts/icons.tsx'
import { blinkRates, useSide } from '../../state/side.ts'
import type { SideHow } from '../../state/side-address.ts'

/** What can be done: with the one chosen, and with the row as a whole. */
export function SideFoot({ how, marked }: { how: SideHow; marked: boolean }) {
  // commands read this place's own state: they are asked again when that changes
  const blinking = useSide((s) => s.blink !== null)
  useSide((s) => s.blink?.held)
  useSide((s) => s.chosen)
  useSide((s) => s.places)
  useSide((s) => s.fills)
  const [back, forth] = how.turned % 2 === 0 ? [moves.left, moves.right] : [moves.up, moves.down]
  return (
    <div className="side-foot">
      <div className="side-tools">
        {blinking ? (
          <>
            <CommandButton command={showOther} />
            <CommandButton command={holdBlink} />
            <Rates />
          </>
        ) : (
          <>
            <CommandButton command={back} />
            <CommandButton command={forth} />
            <CommandButton command={takeAway} />
            <CommandButton command={openItem} />
            <CommandButton command={otherReading} />
          </>
        )}
        <span className="push" />
        <CommandButton command={blink} />
        {blinking ? null : <CommandButton command={turnRow} />}
        {blinking ? null : <CommandButton command={againstFirst} />}
        <CommandButton command={hideNames} />
        <CommandButton command={switchShown} />
        <CommandButton command={fillScreen} />
      </div>
      <p className="fine">
        Screen preview: judge panel against part under the customer’s light.
        {marked ? (
          <>
            {' '}
            <BeyondScreen /> {gamutHow}.
          </>
        ) : null}
      </p>
    </div>
  )
}

function Rates() {
  const everyMs = useSide((s) => s.everyMs)
  return (
    <div className="pair" role="group" aria-label="Changes every">
      {blinkRates.map((rate) => (
        <button
          key={rate.name}
          type="button"
          aria-pressed={rate.everyMs === everyMs}
          onClick={() => useSide.setState({ everyMs: rate.everyMs })}
        >
          {rate.name}
        </button>
      ))}
    </div>
  )
}

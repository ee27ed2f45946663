import { useEffect, useRef } from 'react'
import { keepAsSetup } from '../../../commands/tray/keep-as-setup.ts'
import { removeMark } from '../../../commands/tray/mark.ts'
import { turnChart } from '../../../commands/tray/turn-chart.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { NumberField } from '../../../parts/number-field.tsx'
import { useStore } from '../../../state/store.ts'
import { changeMarks, useDesk } from '../desk-state.ts'
import { type KnownKey, knownAt, nameOfKnown, withLab } from '../known-marks.ts'
import { CardCheck } from './card-check.tsx'

/** What is known of the chosen card, tile or chart, and what can be done with it. */
export function ChosenKnown({ markKey }: { markKey: KnownKey }) {
  const marks = useDesk((s) => s.marks)
  const section = useRef<HTMLElement>(null)
  useEffect(() => {
    // newer browsers answer with a promise, which is no way to clean up
    section.current?.scrollIntoView({ block: 'nearest' })
  }, [])
  const known = knownAt(marks, markKey)
  if (!known) return null
  const name = nameOfKnown(marks, markKey)
  return (
    <section className="block tray-chosen" aria-label={name} ref={section}>
      <h2>{name}</h2>
      {'lab' in known ? <KnownLab markKey={markKey} lab={known.lab} /> : <ChartActs />}
      {markKey === 'card' ? <CardCheck /> : null}
      <CommandButton command={removeMark} />
    </section>
  )
}

type Lab = { l: number; a: number; b: number }

function KnownLab({ markKey, lab }: { markKey: KnownKey; lab: Lab }) {
  const marks = useDesk((s) => s.marks)
  const card = useStore((s) => s.settings.card)
  const kind = 'kind' in (knownAt(marks, markKey) ?? {}) ? nameOfKnown(marks, markKey) : null
  const set = (name: keyof Lab) => (value: number | null) => {
    if (value !== null && value !== lab[name]) changeMarks(withLab(marks, markKey, { [name]: value }), `${markKey} lab`)
  }
  const asCard = kind === 'Another grey' && lab.l === card.l && lab.a === card.a && lab.b === card.b
  return (
    <>
      <div className="tray-lab">
        <NumberField label="L*" value={lab.l} min={1} max={100} digits={2} onValue={set('l')} />
        <NumberField label="a*" value={lab.a} min={-60} max={60} digits={2} onValue={set('a')} />
        <NumberField label="b*" value={lab.b} min={-60} max={60} digits={2} onValue={set('b')} />
      </div>
      {asCard ? (
        <p>
          <b>Write this grey’s own Lab:</b> it still has that of the card.
        </p>
      ) : null}
      <p className="fine">
        {kind === null
          ? 'D50, 2°, for this photo only. The card on your wall is described in Settings. Mark it to its edges: with its size in Settings, it gives the photo its scale.'
          : 'D50, 2°, for this photo only. Your own white and black tiles are described in Settings.'}
      </p>
    </>
  )
}

/** The lattice is looked at, turned until it fits, and kept as a set-up. */
function ChartActs() {
  return (
    <>
      <p className="fine">
        Each small square has the colour that its patch should have: look whether like lies on like. Corner 1 is the
        outer corner of the dark skin patch.
      </p>
      <CommandButton command={turnChart} />
      <CommandButton command={keepAsSetup} />
      <p className="fine">A set-up is this phone in this light: later photos of it need only the card.</p>
    </>
  )
}

import type { Shown } from '../../../shared-core/records/sheet.ts'

const words: Record<Shown, string> = {
  title: 'Title',
  formula: 'Formula',
  coats: 'Coats',
  ground: 'Ground',
  layers: 'Other layers',
  gun: 'Gun',
  booth: 'Booth',
  date: 'Date and name',
  notes: 'Notes',
  qr: 'QR code',
  cautions: 'Cautions',
}

type Props = {
  offered: readonly Shown[]
  ticked: readonly Shown[]
  onTick: (ticked: Shown[]) => void
  /** Where something is called otherwise. */
  called?: Partial<Record<Shown, string>>
}

/** What stands on it besides the code. */
export function Ticks({ offered, ticked, onTick, called = {} }: Props) {
  return (
    <fieldset className="print-ticks">
      <legend className="fine">What stands on it</legend>
      {offered.map((one) => (
        <label key={one} className="check">
          <input
            type="checkbox"
            checked={ticked.includes(one)}
            onChange={(event) =>
              onTick(event.target.checked ? [...ticked, one] : ticked.filter((other) => other !== one))
            }
          />
          <span>{called[one] ?? words[one]}</span>
        </label>
      ))}
    </fieldset>
  )
}

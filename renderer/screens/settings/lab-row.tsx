import type { Settings } from '../../../shared-core/records/settings.ts'
import { KeptNumber } from './kept-number.tsx'

type Lab = Settings['card']
type Props = { lab: Lab; onKeep: (lab: Lab) => void; name: string }

/** L, a and b of something neutral, kept one by one. */
export function LabRow({ lab, onKeep, name }: Props) {
  return (
    <div className="settings-lab" role="group" aria-label={name}>
      <KeptNumber label="L" value={lab.l} from={1} to={100} onKeep={(l) => onKeep({ ...lab, l })} />
      <KeptNumber label="a" value={lab.a} from={-20} to={20} onKeep={(a) => onKeep({ ...lab, a })} />
      <KeptNumber label="b" value={lab.b} from={-20} to={20} onKeep={(b) => onKeep({ ...lab, b })} />
    </div>
  )
}

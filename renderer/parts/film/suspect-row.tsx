import './suspect-row.css'
import type { Suspect } from '../../../shared-core/records/film.ts'
import { useStore } from '../../state/store.ts'
import { PanelLink } from '../place-link.tsx'
import { coatsInWords } from '../strokes.tsx'
import { missInWords } from './suspect-words.ts'
import { TwoPaints } from './two-paints.tsx'

/** A reading beside what its formula should give, how far apart they are, and the likely reason. */
export function SuspectRow({ suspect }: { suspect: Suspect }) {
  const settings = useStore((s) => s.settings)
  const { code, coats, read, expected, words } = suspect
  return (
    <li className="suspect">
      <TwoPaints left={{ lab: read, label: 'Read' }} right={{ lab: expected, label: 'Expected' }} />
      <div>
        <p>
          <PanelLink code={code} />, {coatsInWords(coats)}
        </p>
        <p className="num">{missInWords(suspect, settings)}</p>
        <p className="fine">{words}</p>
      </div>
    </li>
  )
}

import type { Suspect } from '../../../../shared-core/records/film.ts'
import { NotAPanel } from '../../../parts/film/not-a-panel.tsx'
import { missInWords } from '../../../parts/film/suspect-words.ts'
import { TwoPaints } from '../../../parts/film/two-paints.tsx'
import { Triangle } from '../../../parts/icons.tsx'
import { labFigures } from '../../../parts/lab-figures.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { suspectActs } from './misfit-acts.ts'

type Props = { suspect: Suspect; photoId: string | null }

/** Beside a reading that does not fit what the rest of the rack says of its formula: both colours, why, what to do. */
export function Misfit({ suspect, photoId }: Props) {
  const settings = useStore((s) => s.settings)
  const { read, expected, words } = suspect
  const next = suspectActs(suspect, photoId)
  return (
    <div className="panel-misfit" role="note">
      <p className="panel-misfit-name">
        <Triangle />
        <b>Does not fit the rest of the rack</b>
      </p>
      <div className="panel-misfit-paint">
        <TwoPaints
          left={{ lab: read, label: 'As it was read' }}
          right={{ lab: expected, label: 'Predicted from the rest of the rack' }}
        />
        <p>
          read
          <span className="num">{labFigures(read, settings)}</span>
        </p>
        <p>
          predicted
          <span className="num">{labFigures(expected, settings)}</span>
        </p>
      </div>
      <p className="num">{missInWords(suspect, settings)}</p>
      <p>{words}</p>
      <p className="fine">
        It stays on the rack; in predictions it counts less than readings that fit. <NotAPanel short />
      </p>
      {next ? (
        <button type="button" className="btn" onClick={() => go(next.to)}>
          {next.label}
        </button>
      ) : null}
    </div>
  )
}

import type { FilmKnowledge } from '../../../shared-core/records/film.ts'
import { isRead } from '../../parts/film/film-words.ts'
import { PanelLink } from '../../parts/place-link.tsx'
import { go } from '../../state/router.ts'

const shownLeftOut = 6

/** A rack that teaches nothing yet: what to do so that it does. */
export function NothingKnown({ knows }: { knows: FilmKnowledge }) {
  const { leftOut, advice, candies } = knows
  return (
    <main className="plan-alone" aria-label="Plan">
      <h1 className="say">Nothing can be predicted yet</h1>
      <p>
        {candies.some(isRead)
          ? 'A candy was read, but no ground beneath it is known.'
          : 'Predictions are learnt from panels that were sprayed, written down and read. No panel with a candy was read yet.'}
      </p>
      <ul className="plan-advice">
        {(advice.length > 0 ? advice : [usualAdvice]).map((words) => (
          <li key={words}>{words}</li>
        ))}
        <li>
          Write down each panel’s ground, formula and coats: what it is made of is half of what can be learnt from it.
        </li>
      </ul>
      <div className="plan-acts">
        <button type="button" className="btn main" onClick={() => go({ at: 'tray', photoId: null })}>
          Go to the Tray
        </button>
        <button type="button" className="btn" onClick={() => go({ at: 'panel-form', key: null })}>
          New panel
        </button>
      </div>
      {leftOut.length > 0 ? (
        <section className="block" aria-label="What is not counted">
          <h2>What is not counted yet</h2>
          <ul>
            {leftOut.slice(0, shownLeftOut).map(({ stepId, code, why }) => (
              <li key={stepId}>
                <PanelLink code={code} /> {why}
              </li>
            ))}
          </ul>
          {leftOut.length > shownLeftOut ? <p className="fine">{`and ${leftOut.length - shownLeftOut} more`}</p> : null}
        </section>
      ) : null}
    </main>
  )
}

const usualAdvice =
  'Photograph a panel with its formula, best in steps with a bare strip under clear, with the grey card, and file it.'

import { useState } from 'react'
import type { FilmKnowledge, Gap } from '../../../../shared-core/records/film.ts'
import { Caution } from '../../../parts/caution.tsx'
import { formulaInWords, overInWords } from '../../../parts/film/film-words.ts'
import { gamutWord } from '../../../parts/gamut-word.ts'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { PanelLink } from '../../../parts/place-link.tsx'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import { usePlan } from '../../../state/plan.ts'
import { useLive } from '../../../state/plan-live.ts'
import { useStore } from '../../../state/store.ts'
import { useLong } from '../../../state/use-long.ts'
import { plannedPanel, putPanels, setSliders } from '../acts.ts'

const mostGaps = 12

/** Colours within reach that no panel shows; looked for when asked. */
export function Gaps({ knows }: { knows: FilmKnowledge }) {
  const limits = usePlan((s) => s.limits)
  const [open, setOpen] = useState(false)
  const { value, error, busy } = useLive('film.findGaps', open ? { limits, count: mostGaps } : null, 200)
  const long = useLong(busy)
  return (
    <section className="block" aria-label="Gaps" aria-busy={busy}>
      <h2>Gaps</h2>
      <p className="fine">
        Colours that your materials could make and no panel shows, within the limits of suggestions.
      </p>
      <button type="button" className="btn" aria-expanded={open} onClick={() => setOpen(!open)}>
        {open ? 'Put the gaps away' : 'Look for gaps'}
      </button>
      {long ? (
        <p role="status" className="fine">
          Computing…
        </p>
      ) : null}
      {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      {open && value?.gaps.length === 0 ? <p>No wide gap is left within these limits.</p> : null}
      {open ? (
        <ol className="plan-gaps">
          {value?.gaps.map((gap) => (
            <GapRow key={JSON.stringify(gap.recipe)} gap={gap} knows={knows} />
          ))}
        </ol>
      ) : null}
    </section>
  )
}

function GapRow({ gap, knows }: { gap: Gap; knows: FilmKnowledge }) {
  const settings = useStore((s) => s.settings)
  const { recipe, prediction, nearest, nearestCode } = gap
  const gamut = gamutWord(prediction.lab)
  const ground = knows.grounds.find(({ id }) => id === recipe.ground)
  const panel = plannedPanel(recipe.formula, ground, [recipe.coats], knows)
  return (
    <li className="plan-suggestion">
      <Paint lab={prediction.lab} label="Predicted" />
      <div>
        <p>{formulaInWords(recipe.formula, knows, settings)}</p>
        <p>{overInWords(recipe, knows)}</p>
        <p className="fine">
          ± {sayBound(prediction.bound90, settings)} predicted; {sayNumber(nearest, 1, settings)} from{' '}
          {nearestCode === null ? 'the nearest panel' : <PanelLink code={nearestCode} />}.{gamut ? ` ${gamut}` : ''}
        </p>
        <p className="plan-links">
          <button type="button" className="btn plain" onClick={() => setSliders(recipe, knows)}>
            Set the sliders
          </button>
          <button
            type="button"
            className="btn plain"
            onClick={() => {
              if (panel) void putPanels([panel])
            }}
          >
            Put on the list
          </button>
        </p>
      </div>
    </li>
  )
}

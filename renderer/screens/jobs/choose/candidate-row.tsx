import { differenceCiede2000 } from '../../../../shared-core/colour/difference.ts'
import type { Lab } from '../../../../shared-core/colour/lab.ts'
import type { CustomerJob, JobCandidate } from '../../../../shared-core/records/customer-job.ts'
import type { PlanRecipe } from '../../../../shared-core/records/film.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { formulaInWords, overInWords } from '../../../parts/film/film-words.ts'
import { PanelLink } from '../../../parts/place-link.tsx'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import type { JobChange } from '../../../state/job-edits.ts'
import { usePanelsBy } from '../../../state/panels-by.ts'
import { useStore } from '../../../state/store.ts'
import { Pair } from '../pair.tsx'
import { TextField } from '../text-field.tsx'
import { formulaOf } from './formula-from.ts'

type Props = {
  candidate: JobCandidate
  job: CustomerJob
  reference: Lab | null
  change: (change: JobChange) => void
}

/** One colour that was considered: against the reference, what it is, why, and whether it is taken. */
export function CandidateRow({ candidate, job, reference, change }: Props) {
  const settings = useStore((s) => s.settings)
  const guns = useAnswer('gunSetups.list', {}).value?.gunSetups ?? []
  const [panel] = usePanelsBy({ ids: [candidate.panelId] })
  const band = panel?.bands.find(({ stepId }) => stepId === candidate.stepId)
  const predicted = useAnswer('film.predict', candidate.recipe && { recipe: candidate.recipe }).value?.prediction
  const lab = candidate.recipe ? (predicted?.lab ?? null) : (band?.lab ?? null)
  const bound = candidate.recipe ? predicted?.nextPanel90 : band?.bound90
  const taken = candidate.stepId !== null && job.formula?.stepId === candidate.stepId
  const setNote = (note: string) =>
    change({ candidates: job.candidates.map((each) => (each.id === candidate.id ? { ...each, note } : each)) })
  return (
    <li className={`job-candidate ${taken ? 'is-taken' : ''}`} aria-label={panel?.code ?? 'A recipe from Plan'}>
      <Pair
        left={{ lab: reference, label: reference ? 'Reference' : 'No reference' }}
        right={{ lab, label: lab ? (candidate.recipe ? 'Predicted' : (panel?.code ?? '')) : 'Not read yet' }}
      />
      <div>
        {candidate.recipe ? (
          <RecipeWords recipe={candidate.recipe} />
        ) : panel ? (
          <p>
            <PanelLink code={panel.code} /> {[panel.title, panel.ground].filter(Boolean).join(', ')}
            {band ? (
              <span className="job-coats">
                <Strokes coats={band.coats} /> {coatsInWords(band.coats)}
              </span>
            ) : null}
          </p>
        ) : (
          <p>This panel is no longer in the rack.</p>
        )}
        <p className="fine num">
          {reference && lab
            ? `${candidate.recipe ? 'Predicted, ' : ''}${sayNumber(differenceCiede2000(lab, reference), 1, settings)} from the reference${bound ? `; its own ± ${sayBound(bound, settings)}` : ''}`
            : ''}
        </p>
        <TextField label="Note" value={candidate.note} maxLength={1000} onValue={setNote} />
      </div>
      <div className="job-candidate-acts">
        {taken ? (
          <p className="job-taken">
            <b>The formula</b>
          </p>
        ) : (
          <ChangeButton
            type="button"
            className="btn"
            onClick={() => void formulaOf(candidate, guns).then((formula) => formula && change({ formula }))}
          >
            Take its formula
          </ChangeButton>
        )}
        <ChangeButton
          type="button"
          className="btn plain"
          onClick={() => change({ candidates: job.candidates.filter(({ id }) => id !== candidate.id) })}
        >
          Take off
        </ChangeButton>
      </div>
    </li>
  )
}

function RecipeWords({ recipe }: { recipe: PlanRecipe }) {
  const settings = useStore((s) => s.settings)
  const knows = useAnswer('film.describe', {}).value?.knows
  if (!knows) return <p>A recipe from Plan</p>
  return (
    <p>
      {formulaInWords(recipe.formula, knows, settings)}, {overInWords(recipe, knows)}
    </p>
  )
}

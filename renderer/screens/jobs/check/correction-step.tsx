import { useState } from 'react'
import type { Correction } from '../../../../shared-core/records/customer-job.ts'
import { Caution } from '../../../parts/caution.tsx'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { formulaInWords } from '../../../parts/film/film-words.ts'
import { gamutWord } from '../../../parts/gamut-word.ts'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { upperFirst } from '../../match/reading-words.ts'
import { Cautions } from '../cautions.tsx'
import { formulaOf } from '../choose/formula-from.ts'
import { useJobReference } from '../job-paint.ts'
import { judgeWords, lastCheck, predictionWords } from '../job-words.ts'
import type { StepProps } from '../page/job-page.tsx'
import { StepFrame } from '../page/step-frame.tsx'
import { Pair } from '../pair.tsx'

/** What to change after a check panel, from the film model with that panel in it. */
export function CorrectionStep({ job, shown, change, step, number }: StepProps) {
  const last = lastCheck(shown.outcomes)
  const read = last && last.verdict !== 'not-read' ? last : undefined
  const [askedOf, setAskedOf] = useState<string | null>(null)
  const [partIsSprayed, setPartIsSprayed] = useState(() => job.parts.some(({ sprayed }) => (sprayed?.coats ?? 0) > 0))
  const asked = read !== undefined && askedOf === read.checkId
  const { value, error } = useAnswer(
    'customerJobs.correct',
    asked ? { customerJobId: job.id, checkId: read.checkId, partIsSprayed } : null,
  )
  // the sentence stands by itself, below
  const said = value?.words.replace(predictionWords, '').trim() ?? ''
  return (
    <StepFrame step={step} number={number}>
      {read ? (
        <div className="job-line">
          <label className="check job-grow">
            <input
              type="checkbox"
              checked={partIsSprayed}
              onChange={(event) => setPartIsSprayed(event.target.checked)}
            />
            <span>
              The part is sprayed already
              <span className="fine"> (then coats can only be added)</span>
            </span>
          </label>
          {asked ? null : (
            <button
              type="button"
              className={`btn ${step.state === 'now' ? 'main' : ''}`}
              onClick={() => setAskedOf(read.checkId)}
            >
              {`What to change after ${read.code}`}
            </button>
          )}
        </div>
      ) : (
        <p>When a check panel has been photographed and read, what would bring the next one nearer stands here.</p>
      )}
      {asked && !value && !error ? <p role="status">Learning from the check panel…</p> : null}
      {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      {asked && value ? (
        <>
          {said ? <p>{upperFirst(said)}</p> : null}
          {value.corrections.length > 0 ? (
            <ol className="job-list well">
              {value.corrections.map((each) => (
                <CorrectionRow
                  key={JSON.stringify([each.words, each.recipe])}
                  correction={each}
                  code={read.code}
                  panelId={read.panelId}
                  job={job}
                  change={change}
                />
              ))}
            </ol>
          ) : null}
          <p>
            <b>{predictionWords}</b>
          </p>
          <p className="fine">{judgeWords}</p>
          {/* to correct a part is to sand it and to spray on it; before that it is the next check panel that is sprayed */}
          <Cautions mixture={job.formula?.mixture ?? null} steps={partIsSprayed ? ['sand', 'spray'] : ['spray']} />
        </>
      ) : null}
    </StepFrame>
  )
}

type RowProps = Pick<StepProps, 'job' | 'change'> & { correction: Correction; code: string; panelId: string }

function CorrectionRow({ correction, code, panelId, job, change }: RowProps) {
  const settings = useStore((s) => s.settings)
  const painter = settings.painter
  const wanted = useJobReference(job.referenceId)
  const guns = useAnswer('gunSetups.list', {}).value?.gunSetups ?? []
  const knows = useAnswer('film.describe', {}).value?.knows
  const { words, recipe, prediction, expectedDe00, expectedBound90, onSprayedPart } = correction
  const expected = `${sayNumber(expectedDe00, 1, settings)} ± ${sayBound(expectedBound90, settings)}`
  const gamut = gamutWord(prediction.lab)
  const use = async () => {
    const formula = await formulaOf({ panelId: null, stepId: null, recipe }, guns)
    if (!formula) return
    change({
      formula: { ...formula, gunSetup: formula.gunSetup ?? job.formula?.gunSetup ?? null },
      decisions: [
        ...job.decisions,
        {
          at: new Date().toISOString(),
          who: painter,
          what: 'corrected',
          panelId,
          words: `${upperFirst(words)}, after ${code}. Expected: ${expected}.`,
        },
      ],
    })
    useStore.getState().say('The changed formula is in the job.', 'Spray a check panel of it next.')
  }
  return (
    <li className="job-candidate">
      <Pair
        left={{ lab: wanted?.reading?.lab ?? null, label: wanted?.reading ? 'Reference' : 'No reference' }}
        right={{ lab: prediction.lab, label: 'Predicted' }}
      />
      <div>
        <p className="lead">
          <b>{upperFirst(words)}</b>
        </p>
        <p className="num">
          <b>{`Expected ${expected}`}</b>
          {expectedDe00 + expectedBound90 <= job.tolerance
            ? ', within your tolerance'
            : expectedDe00 - expectedBound90 > job.tolerance
              ? ', still beyond your tolerance'
              : ', could be within your tolerance'}
        </p>
        <p className="fine">
          {knows
            ? `${formulaInWords(recipe.formula, knows, settings)}, ${coatsInWords(recipe.coats)}. `
            : `${coatsInWords(recipe.coats)}. `}
          {onSprayedPart ? 'Can be done on the part as it is. ' : 'For the next cup, on an unsprayed part. '}
          {prediction.outside.words.join(' ')}
          {gamut ? ` ${gamut}` : ''}
        </p>
        <p className="fine">The right half is predicted.</p>
      </div>
      <div className="job-candidate-acts">
        <ChangeButton type="button" className="btn" onClick={() => void use()}>
          Use it
        </ChangeButton>
      </div>
    </li>
  )
}

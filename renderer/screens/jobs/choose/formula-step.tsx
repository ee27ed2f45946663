import { ChangeButton, ChangeFields } from '../../../parts/change-only.tsx'
import '../../panel-form/panel-form.css'
import { useState } from 'react'
import { formulaInWords } from '../../../../shared-core/mix/formula-words.ts'
import type { JobFormula } from '../../../../shared-core/records/customer-job.ts'
import type { Mixture } from '../../../../shared-core/records/mixture.ts'
import { NumberField } from '../../../parts/number-field.tsx'
import { PanelLink } from '../../../parts/place-link.tsx'
import { decimalSign } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { usePanelsBy } from '../../../state/panels-by.ts'
import { planAddress } from '../../../state/plan-address.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { MixtureEditor } from '../../panel-form/mixture-editor.tsx'
import { recipeOf } from '../job-paint.ts'
import type { StepProps } from '../page/job-page.tsx'
import { StepFrame } from '../page/step-frame.tsx'
import { TextField } from '../text-field.tsx'
import { ChooseStep } from './choose-step.tsx'
import { GunChoice } from './gun-choice.tsx'

/** What is to be sprayed: a panel's step, what was considered, or typed as on the back of a panel. */
export function FormulaStep({ job, change, step, number }: StepProps) {
  const { formula } = job
  const [open, setOpen] = useState(false)
  const set = (next: Partial<JobFormula>) => formula && change({ formula: { ...formula, ...next } })
  return (
    <StepFrame step={step} number={number}>
      {formula ? <Said formula={formula} /> : null}
      <div className="job-line">
        <ChangeFields>
          <ChooseStep
            label={formula ? 'Take another panel’s' : 'Take a panel’s'}
            onFormula={(next) => change({ formula: next })}
          />
        </ChangeFields>
        <ChangeButton type="button" className="btn" aria-expanded={open} onClick={() => setOpen(!open)}>
          {formula ? (open ? 'Close' : 'Change it') : open ? 'Close' : 'Type it'}
        </ChangeButton>
        {formula ? <PlanFromFormula formula={formula} referenceId={job.referenceId} /> : null}
      </div>
      {open ? (
        <div className="job-formula">
          <MixtureEditor
            mixture={formula?.mixture ?? null}
            layerKind="candy"
            onMixture={(mixture, coats) => change({ formula: mixture && typed(formula, mixture, coats) })}
          />
          {formula ? <HowFields formula={formula} set={set} /> : null}
        </div>
      ) : null}
    </StepFrame>
  )
}

/** What is typed anew is no panel's step any longer. */
const typed = (before: JobFormula | null, mixture: Mixture, coats: number | null): JobFormula => ({
  panelId: null,
  stepId: null,
  mixture,
  ground: before?.ground ?? '',
  coats: coats ?? before?.coats ?? usualCoats,
  gunSetup: before?.gunSetup ?? null,
})
/** Common practice, no source. */
const usualCoats = 4

function Said({ formula }: { formula: JobFormula }) {
  const decimal = useStore((s) => decimalSign(s.settings))
  const [panel] = usePanelsBy({ ids: [formula.panelId] })
  return (
    <div className="job-formula-said">
      <div>
        {formulaInWords(formula.mixture, { decimal }).map((line) => (
          <p key={line} className="lead">
            {line}
          </p>
        ))}
      </div>
      <p>
        {formula.ground ? `over ${formula.ground}` : 'ground not said'}
        <span className="job-coats">
          <Strokes coats={formula.coats} /> {coatsInWords(formula.coats)}
        </span>
        {formula.gunSetup ? `, ${formula.gunSetup.name}` : ''}
      </p>
      <p className="fine">
        {panel ? (
          <>
            As <PanelLink code={panel.code} /> {panel.title} was sprayed
          </>
        ) : (
          'Written for this job'
        )}
      </p>
    </div>
  )
}

function HowFields({ formula, set }: { formula: JobFormula; set: (next: Partial<JobFormula>) => void }) {
  const grounds = useAnswer('panels.listWords', {}).value?.grounds ?? []
  return (
    <div className="job-fields">
      <TextField
        label="Over which ground"
        value={formula.ground}
        maxLength={120}
        list="job-grounds"
        onValue={(ground) => set({ ground, panelId: null, stepId: null })}
      />
      <datalist id="job-grounds">
        {grounds.map((name) => (
          <option key={name} value={name}>
            {name}
          </option>
        ))}
      </datalist>
      <NumberField
        label="Coats"
        value={formula.coats}
        min={0}
        max={60}
        digits={1}
        onValue={(coats) =>
          coats !== null && set({ coats, ...(coats === formula.coats ? {} : { stepId: null, panelId: null }) })
        }
      />
      <GunChoice gun={formula.gunSetup} onGun={(gunSetup) => set({ gunSetup })} />
    </div>
  )
}

function PlanFromFormula({ formula, referenceId }: { formula: JobFormula; referenceId: string | null }) {
  const recipe = recipeOf(formula)
  if (!recipe) return null
  return (
    <button type="button" className="btn plain" onClick={() => go(planAddress(recipe.formula, referenceId))}>
      Look at it in Plan
    </button>
  )
}

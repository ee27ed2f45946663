import { useState } from 'react'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { TypedColourForm } from '../../../parts/typed-colour-form.tsx'
import { act } from '../../../state/asking.ts'

/** A colour whose figures are known: from an instrument, a data sheet, another program. */
export function AddTyped({ panel, onClose }: { panel: Panel; onClose: () => void }) {
  const steps = panel.steps.filter((step) => step.id !== null)
  const [stepId, setStepId] = useState(steps.at(-1)?.id ?? '')
  return (
    <Dialog title={`Add a typed colour to ${panel.code}`} onClose={onClose}>
      {steps.length > 1 ? (
        <label className="field typed-step">
          <span>Which step of the panel</span>
          <select className="select" value={stepId} onChange={(event) => setStepId(event.target.value)}>
            {steps.map((step) => (
              <option key={step.id} value={step.id ?? ''}>
                {coatsInWords(step.coats)}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <TypedColourForm
        nameField={false}
        onCancel={onClose}
        submitLabel={`Add to ${panel.code}`}
        onSubmit={async ({ name: _none, ...colour }) => {
          if (await act('readings.addTyped', { ...colour, stepId })) onClose()
        }}
      />
    </Dialog>
  )
}

import { useId } from 'react'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { FieldError } from '../../../parts/field-error.tsx'
import { useWording } from '../../mix/say-amounts.ts'
import { kindInWords, kindsInOrder } from '../kinds-in-words.ts'
import { costUnit } from '../stock-words.ts'
import { type FactKey, isAskedOf } from './facts.ts'
import { Isocyanates } from './isocyanates.tsx'
import { type FactForm, useFacts } from './use-facts.ts'

/** What is known of a material. Nothing is kept until it is said so; what was typed stays here until then. */
export function FactsForm({ material }: { material: Material }) {
  const form = useFacts(material)
  const wording = useWording()
  const us = wording.system === 'us'
  const { drafted } = form
  return (
    <form
      className="material-facts"
      aria-label="What is known of it"
      noValidate
      onSubmit={(event) => {
        event.preventDefault()
        void form.keep()
      }}
    >
      <section className="block">
        <h2>What it is</h2>
        <div className="material-fields">
          <Field form={form} fact="name" label="Name" maxLength={120} />
          <label className="field">
            <span>Kind</span>
            <select
              className="select"
              value={form.text('kind')}
              onChange={(event) => form.type('kind', event.target.value)}
            >
              {kindsInOrder.map((kind) => (
                <option key={kind} value={kind}>
                  {kindInWords(kind)}
                </option>
              ))}
            </select>
          </label>
          <Field form={form} fact="makerName" label="What its maker calls it" maxLength={200} wide />
          <Field form={form} fact="batch" label="Batch" maxLength={120} />
          <Field form={form} fact="openedOn" label="Opened" type="date" />
          <Field
            form={form}
            fact="reorderAt"
            label="Buy again below"
            hint={us ? '4 fl oz or 0.5 lb' : '100 mL or 0.2 kg'}
          />
          <Field form={form} fact="costPerL" label={`Cost by the ${costUnit(wording).name}`} hint="48.50" />
        </div>
      </section>
      <section className="block">
        <h2>As its data sheets say</h2>
        <div className="material-fields">
          <Field form={form} fact="densityKgPerL" label="Density at 20 °C" hint={us ? '7.9 lb/gal' : '0.95 kg/L'} />
          <Field form={form} fact="volumeSolidsPercent" label="Solids by volume, %" hint="28" />
          {isAskedOf('potLifeMin', drafted) ? (
            <Field form={form} fact="potLifeMin" label="Pot life once it is in the cup" hint="90 min or 2 h" />
          ) : null}
          {isAskedOf('flakeMicron', drafted) ? (
            <Field form={form} fact="flakeMicron" label="Size of its grain" hint="200 µm" />
          ) : null}
          <Field
            form={form}
            fact="dataSheet"
            label="Their link, or where the paper is"
            hint="https://… or binder 3"
            maxLength={1000}
            wide
          />
        </div>
        {isAskedOf('isocyanate', drafted) ? (
          <Isocyanates
            kind={drafted.kind}
            value={form.text('isocyanate')}
            onValue={(text) => form.type('isocyanate', text)}
          />
        ) : null}
      </section>
      <section className="block">
        <Field form={form} fact="notes" label="Notes" lines={3} maxLength={4000} />
      </section>
      {form.changed > 0 ? (
        <div className="material-keep" role="status">
          <span>
            {form.changed === 1 ? 'One change is not kept yet.' : `${form.changed} changes are not kept yet.`}
          </span>
          <button type="button" className="btn plain" onClick={form.drop}>
            Drop {form.changed === 1 ? 'it' : 'them'}
          </button>
          <button type="submit" className="btn main" aria-disabled={form.busy}>
            Keep {form.changed === 1 ? 'it' : 'them'}
          </button>
        </div>
      ) : null}
    </form>
  )
}

type FieldProps = {
  form: FactForm
  fact: FactKey
  label: string
  hint?: string
  type?: 'text' | 'date'
  lines?: number
  maxLength?: number
  wide?: boolean
}

/** A field with what is wrong with it beside it. */
export function Field({ form, fact, label, hint, type = 'text', lines, maxLength = 60, wide }: FieldProps) {
  const id = useId()
  const said = form.said(fact)
  const field = {
    id,
    className: 'input',
    value: form.text(fact),
    placeholder: hint,
    maxLength,
    'aria-invalid': said !== null,
    'aria-describedby': said ? `${id}-wrong` : undefined,
    onChange: (event: { target: { value: string } }) => form.type(fact, event.target.value),
  }
  return (
    <div className={wide ? 'field material-wide' : 'field'}>
      <span>
        <label htmlFor={id}>{label}</label>
      </span>
      {lines ? <textarea {...field} rows={lines} /> : <input {...field} type={type} autoComplete="off" />}
      <FieldError id={`${id}-wrong`} said={said} />
    </div>
  )
}

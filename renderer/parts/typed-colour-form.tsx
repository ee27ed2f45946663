import './typed-colour-form.css'
import { type FormEvent, useId, useState } from 'react'
import type { Input } from '../../shared-core/contract/calls.ts'
import { parseNumber } from '../../shared-core/mix/units.ts'
import type { Geometry, Illuminant, Observer, Stage, View } from '../../shared-core/records/colour.ts'
import { useStore } from '../state/store.ts'
import { FieldError, type Said } from './field-error.tsx'
import { illuminantInWords, instrumentGeometries, observerInWords } from './standards-in-words.ts'
import { stageInWords, viewInWords } from './views-in-words.ts'

export type TypedColour = Omit<Input<'readings.addTyped'>, 'stepId'> & { name: string }

type Lab = 'l' | 'a' | 'b'
type Texts = Record<Lab | 'bound' | 'name', string>

/** L* above 100 is legal, because bright silver reaches it; a* and b* beyond 200 are slips of the finger. */
const limits: Record<Lab | 'bound', { from: number; to: number; name: string }> = {
  l: { from: 0, to: 150, name: 'L' },
  a: { from: -200, to: 200, name: 'a' },
  b: { from: -200, to: 200, name: 'b' },
  bound: { from: 0.01, to: 50, name: 'the ±' },
}

type Props = {
  onSubmit: (values: TypedColour) => void | Promise<void>
  submitLabel: string
  /** Asks for a name too, as a reference needs one. */
  nameField: boolean
  /** Turns back without a colour; without it there is no button for it. */
  onCancel?: () => void
}

/** A colour by its figures, with everything that says what they mean. */
export function TypedColourForm({ onSubmit, submitLabel, nameField, onCancel }: Props) {
  const id = useId()
  const lights = useStore((s) => s.lights)
  const [texts, setTexts] = useState<Texts>({ l: '', a: '', b: '', bound: '', name: '' })
  const [illuminant, setIlluminant] = useState<Illuminant>('D50')
  const [observer, setObserver] = useState<Observer>('2')
  const [geometry, setGeometry] = useState<Geometry>('45:0')
  const [view, setView] = useState<View>('face')
  const [stage, setStage] = useState<Stage>('cleared')
  const [lightId, setLightId] = useState('')
  const [wrong, setWrong] = useState<(Said & { at: keyof Texts }) | null>(null)
  const [busy, setBusy] = useState(false)

  const submit = async (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault()
    if (busy) return
    const fault = faultIn(texts, nameField)
    setWrong(fault)
    if (fault) {
      event.currentTarget.querySelector<HTMLInputElement>(`[name=${fault.at}]`)?.focus()
      return
    }
    setBusy(true)
    await onSubmit({
      name: texts.name.trim(),
      lab: { l: parseNumber(texts.l) ?? 0, a: parseNumber(texts.a) ?? 0, b: parseNumber(texts.b) ?? 0 },
      illuminant,
      observer,
      geometry,
      bound90: texts.bound.trim() === '' ? null : parseNumber(texts.bound),
      view,
      stage,
      lightId: lightId === '' ? null : lightId,
    })
    setBusy(false)
  }
  const text = (at: keyof Texts, label: string, hint = '') => (
    <label className="field">
      <span>{label}</span>
      <input
        className="input"
        name={at}
        inputMode={at === 'name' ? 'text' : 'decimal'}
        autoComplete="off"
        placeholder={hint}
        value={texts[at]}
        maxLength={200}
        aria-invalid={wrong?.at === at}
        aria-describedby={wrong?.at === at ? `${id}-wrong` : undefined}
        onChange={(event) => setTexts({ ...texts, [at]: event.target.value })}
      />
    </label>
  )

  return (
    <form className="typed" onSubmit={(event) => void submit(event)} noValidate>
      {nameField ? <div className="typed-name">{text('name', 'Name', 'what it is, or whose')}</div> : null}
      {text('l', 'L')}
      {text('a', 'a')}
      {text('b', 'b')}
      {text('bound', '± in dE00, if said')}
      {wrong ? (
        <div className="typed-wide">
          <FieldError id={`${id}-wrong`} said={wrong} />
        </div>
      ) : null}
      <Choice label="Illuminant" value={illuminant} names={illuminantInWords} onChange={setIlluminant} />
      <Choice label="Observer" value={observer} names={observerInWords} onChange={setObserver} />
      <Choice label="Geometry" value={geometry} names={instrumentGeometries} onChange={setGeometry} />
      <Choice label="View" value={view} names={viewInWords} onChange={setView} />
      <Choice label="Taken of it" value={stage} names={stageInWords} onChange={setStage} />
      <label className="field">
        <span>Light</span>
        <select className="select" value={lightId} onChange={(event) => setLightId(event.target.value)}>
          <option value="">not named</option>
          {lights.map((light) => (
            <option key={light.id} value={light.id}>
              {light.name}
            </option>
          ))}
        </select>
      </label>
      <p className="fine typed-wide">
        {illuminant === 'D50' && observer === '2'
          ? 'Kept as typed.'
          : 'Kept as typed. Compared with readings under D50, 2° its ± is widened: one cannot be turned into the other exactly.'}
      </p>
      <div className="typed-wide typed-acts">
        <button type="submit" className="btn main" aria-disabled={busy}>
          {submitLabel}
        </button>
        {onCancel ? (
          <button type="button" className="btn plain" onClick={onCancel}>
            Cancel
          </button>
        ) : null}
      </div>
    </form>
  )
}

type ChoiceProps<T extends string> = {
  label: string
  value: T
  names: Partial<Record<T, string>>
  onChange: (value: T) => void
}

function Choice<T extends string>({ label, value, names, onChange }: ChoiceProps<T>) {
  return (
    <label className="field">
      <span>{label}</span>
      <select className="select" value={value} onChange={(event) => onChange(event.target.value as T)}>
        {(Object.entries(names) as [T, string][]).map(([key, name]) => (
          <option key={key} value={key}>
            {name}
          </option>
        ))}
      </select>
    </label>
  )
}

function faultIn(texts: Texts, nameField: boolean): (Said & { at: keyof Texts }) | null {
  if (nameField && texts.name.trim() === '')
    return {
      at: 'name',
      message: 'The colour has no name yet.',
      remedy: 'Write what it is, so that you find it again.',
    }
  for (const at of ['l', 'a', 'b', 'bound'] as const) {
    const { from, to, name } = limits[at]
    if (at === 'bound' && texts.bound.trim() === '') continue
    const value = parseNumber(texts[at])
    const remedy = `Write a number from ${String(from).replace('-', '−')} to ${to}.`
    if (texts[at].trim() === '') return { at, message: `Nothing stands at ${name}.`, remedy }
    if (value === null) return { at, message: `“${texts[at].trim()}” at ${name} is not a number.`, remedy }
    if (value < from || value > to) return { at, message: `${texts[at].trim()} is out of range for ${name}.`, remedy }
  }
  return null
}

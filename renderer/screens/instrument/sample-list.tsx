import { useState } from 'react'
import type { InstrumentMeasure, InstrumentSample } from '../../../shared-core/contract/exchange-calls.ts'
import { toD50 } from '../../../shared-core/match/compare.ts'
import type { Panel } from '../../../shared-core/records/panel.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import { labFigures } from '../../parts/lab-figures.ts'
import { Paint } from '../../parts/lab-swatch.tsx'
import { coatsInWords } from '../../parts/strokes.tsx'
import { viewInWords } from '../../parts/views-in-words.ts'
import { useStore } from '../../state/store.ts'
import { canBeTaken, type Goes, notTaken, readyMeasures } from './mapping.ts'

/** So many at once can still be looked through; the rest is found by name. */
const mostShown = 60

type Props = {
  samples: readonly InstrumentSample[]
  /** Null when samples become references. */
  panel: Panel | null
  goes: Goes
  onGoes: (goes: Goes) => void
}

/** What was measured, and where each of it goes. */
export function SampleList({ samples, panel, goes, onGoes }: Props) {
  const [words, setWords] = useState('')
  const found = samples.filter((sample) => sample.name.toLowerCase().includes(words.trim().toLowerCase()))
  const set = (id: string, where: string | null) => {
    const { [id]: _before, ...rest } = goes
    onGoes(where === null ? rest : { ...rest, [id]: where })
  }
  return (
    <section className="instrument-samples" aria-label="What was measured">
      {samples.length > 12 ? (
        <label className="field instrument-find">
          <span>Find a sample by its name</span>
          <input className="input" value={words} onChange={(event) => setWords(event.target.value)} />
        </label>
      ) : null}
      <ul className="scroll">
        {found.slice(0, mostShown).map((sample) => (
          <SampleRow
            key={sample.id}
            sample={sample}
            panel={panel}
            where={goes[sample.id] ?? null}
            onWhere={(where) => set(sample.id, where)}
          />
        ))}
      </ul>
      {found.length > mostShown ? (
        <p className="fine">{`${found.length - mostShown} more: find them by name.`}</p>
      ) : null}
      {found.length === 0 ? <p>No sample is called so.</p> : null}
    </section>
  )
}

type RowProps = {
  sample: InstrumentSample
  panel: Panel | null
  where: string | null
  onWhere: (where: string | null) => void
}

function SampleRow({ sample, panel, where, onWhere }: RowProps) {
  const settings = useStore((s) => s.settings)
  const ready = readyMeasures(sample)
  const refused = notTaken(sample)
  return (
    <li className="instrument-sample">
      <div className="instrument-paints">
        {ready.map(({ colour }, i) => (
          <Paint key={i} lab={colour && toD50(colour)} label={colour ? viewInWords[colour.view] : ''} flat />
        ))}
        {ready.length === 0 ? <Paint lab={null} label={sample.name} /> : null}
      </div>
      <div className="instrument-what">
        <b>{sample.name}</b>
        {ready.map((measure, i) => (
          <span key={i} className="num">
            {figuresOf(measure, ready.length > 1 || measure.aspecularDeg !== null, settings)}
          </span>
        ))}
        {ready.length === 0 && canBeTaken(sample) ? <span className="fine">waits for an answer above</span> : null}
        {refused.length > 0 ? <span className="fine">{whyNot(refused)}</span> : null}
        {ready.flatMap(({ colour }) =>
          (colour?.cautions ?? []).map((caution) => (
            <span key={caution.code} className="fine">
              <b>{caution.message}</b> {caution.remedy}
            </span>
          )),
        )}
      </div>
      {canBeTaken(sample) ? (
        <Where sample={sample} panel={panel} where={where} onWhere={onWhere} />
      ) : (
        <span>not taken</span>
      )}
    </li>
  )
}

/** "Face 45°: 55.3, −30.1, −7.7, D65, 10°". */
function figuresOf({ colour }: InstrumentMeasure, sayView: boolean, settings: Settings): string {
  if (!colour) return ''
  const view = sayView ? `${viewInWords[colour.view]}: ` : ''
  const standard = colour.fromSpectrum ? 'from its spectrum' : `${colour.illuminant}, ${colour.observer}°`
  return `${view}${labFigures(colour.lab, settings)}, ${standard}`
}

/** Angles that are left out for one reason are named together. */
function whyNot(refused: readonly InstrumentMeasure[]): string {
  const angles = refused.flatMap(({ aspecularDeg }) => (aspecularDeg === null ? [] : [`${aspecularDeg}°`]))
  if (angles.length > 1 && angles.length === refused.length)
    return `Left out: ${angles.join(', ')}. A panel keeps near glare 15°, face 45° and flop 110°.`
  const [first] = refused
  return `${first?.notTaken?.message ?? ''} ${first?.notTaken?.remedy ?? ''}`.trim()
}

function Where({ sample, panel, where, onWhere }: RowProps) {
  if (panel)
    return (
      <label className="field">
        <span className="vh">{`Where ${sample.name} goes`}</span>
        <select
          className="select"
          value={where ?? ''}
          onChange={(event) => onWhere(event.target.value === '' ? null : event.target.value)}
        >
          <option value="">leave out</option>
          {panel.steps.map((step) =>
            step.id === null ? null : (
              <option key={step.id} value={step.id}>
                {coatsInWords(step.coats)}
              </option>
            ),
          )}
        </select>
      </label>
    )
  return (
    <div className="instrument-named">
      <label className="check">
        <input
          type="checkbox"
          checked={where !== null}
          aria-label={`Take ${sample.name}`}
          onChange={(event) => onWhere(event.target.checked ? sample.name.slice(0, 200) : null)}
        />
      </label>
      <label className="field">
        <span className="vh">{`Name of the reference from ${sample.name}`}</span>
        <input
          className="input"
          value={where ?? ''}
          placeholder="left out"
          maxLength={200}
          disabled={where === null}
          onChange={(event) => onWhere(event.target.value)}
        />
      </label>
    </div>
  )
}

import './instrument.css'
import { useState } from 'react'
import type { InstrumentAnswers } from '../../../shared-core/contract/exchange-calls.ts'
import type { Stage } from '../../../shared-core/records/colour.ts'
import type { Panel } from '../../../shared-core/records/panel.ts'
import { client } from '../../client/client.ts'
import { Dialog } from '../../parts/dialog.tsx'
import type { Said } from '../../parts/field-error.tsx'
import { NumberField } from '../../parts/number-field.tsx'
import { stageInWords } from '../../parts/views-in-words.ts'
import { act, useAnswer } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { ChooseFile } from './choose-file.tsx'
import { type TakingFor, useInstrument } from './instrument-state.ts'
import { type Goes, type Inspected, mappingOf, proposedNames, proposedSteps, readingCount } from './mapping.ts'
import { Questions } from './questions.tsx'
import { SampleList } from './sample-list.tsx'

const noAnswers: InstrumentAnswers = { illuminant: null, observer: null, geometry: null, scale: null, view: null }
const formatInWords = { cgats: 'CGATS', cxf: 'CxF3', csv: 'CSV' }

/** Readings of an instrument from its file: for a panel's steps, or as new references. */
export function InstrumentDialog() {
  const takingFor = useInstrument((s) => s.takingFor)
  if (!takingFor) return null
  return <OpenInstrumentDialog takingFor={takingFor} />
}

/** Rack and photos have D50, 2°. */
const isOfOtherLight = ({ colour }: Inspected['samples'][number]['measures'][number]): boolean =>
  colour !== null && (colour.illuminant !== 'D50' || colour.observer !== '2')

const close = () => useInstrument.setState({ takingFor: null })

function OpenInstrumentDialog({ takingFor }: { takingFor: TakingFor }) {
  const { value } = useAnswer('panels.get', takingFor.kind === 'panel' ? { key: takingFor.key } : null)
  const panel = value?.panel ?? null
  const [chosen, setChosen] = useState<{ path: string; name: string } | null>(null)
  const [inspected, setInspected] = useState<Inspected | null>(null)
  const [answers, setAnswers] = useState(noAnswers)
  const [goes, setGoes] = useState<Goes>({})
  const [said, setSaid] = useState<Said | null>(null)
  const [busy, setBusy] = useState(false)

  async function inspect(file: { path: string; name: string }, given: InstrumentAnswers): Promise<Inspected | null> {
    const answer = await client().call('exchange.inspect', { ...file, answers: given })
    setSaid(answer.ok ? null : answer.error)
    setInspected(answer.ok ? answer.value : null)
    return answer.ok ? answer.value : null
  }
  async function choose(file: File) {
    if (busy) return
    setBusy(true)
    setChosen(null)
    setInspected(null)
    setAnswers(noAnswers)
    try {
      const staged = { path: await client().stage(file), name: file.name }
      const found = await inspect(staged, noAnswers)
      setChosen(staged)
      if (found) setGoes(panel ? proposedSteps(found.samples, panel) : proposedNames(found.samples))
    } catch {
      setSaid({ message: `${file.name} could not be handed over.`, remedy: 'Try again, or choose another file.' })
    }
    setBusy(false)
  }
  const answer = (change: Partial<InstrumentAnswers>) => {
    const given = { ...answers, ...change }
    setAnswers(given)
    if (chosen) void inspect(chosen, given)
  }

  if (takingFor.kind === 'panel' && !panel) return null
  return (
    <Dialog
      title={panel ? `Readings from an instrument for ${panel.code}` : 'New references from an instrument'}
      onClose={close}
    >
      <div className="instrument-width" />
      {chosen && inspected ? (
        <Taking
          key={inspected.digest}
          {...{ chosen, inspected, answers, panel, goes }}
          onGoes={setGoes}
          onAnswer={answer}
          onOther={() => setInspected(null)}
        />
      ) : (
        <>
          <ChooseFile onFile={(file) => void choose(file)} said={said} busy={busy} />
          <div className="instrument-acts">
            <button type="button" className="btn plain push" onClick={close}>
              Close
            </button>
          </div>
        </>
      )}
    </Dialog>
  )
}

type TakingProps = {
  chosen: { path: string; name: string }
  inspected: Inspected
  answers: InstrumentAnswers
  panel: Panel | null
  goes: Goes
  onGoes: (goes: Goes) => void
  onAnswer: (change: Partial<InstrumentAnswers>) => void
  onOther: () => void
}

function Taking({ chosen, inspected, answers, panel, goes, onGoes, onAnswer, onOther }: TakingProps) {
  const [stage, setStage] = useState<Stage | ''>('')
  const [bound90, setBound90] = useState<number | null>(null)
  const [busy, setBusy] = useState(false)
  const { samples, questions, saidAs, digest, format, instrument } = inspected
  const count = readingCount(samples, goes)
  const missing = whatIsMissing(inspected, goes, stage, panel)
  const facts = [formatInWords[format], instrument, samples.length === 1 ? '1 sample' : `${samples.length} samples`]

  async function take() {
    if (missing !== null || stage === '') {
      useStore.getState().say(missing ?? '')
      return
    }
    setBusy(true)
    const mapping = mappingOf(goes, panel ? 'step' : 'reference')
    const done = await act('exchange.take', { ...chosen, digest, answers, stage, bound90, mapping })
    setBusy(false)
    if (!done) return
    close()
    const taken = done.readings.length === 1 ? '1 reading' : `${done.readings.length} readings`
    useStore.getState().say(`Took ${taken} from ${chosen.name}.`, 'Undo takes them out again.')
    const [first] = done.references
    if (first) go({ at: 'match', referenceId: done.references.length === 1 ? first.id : null })
  }

  return (
    <>
      <p className="instrument-file">
        <span>
          <b>{chosen.name}</b> <span className="fine">{facts.filter(Boolean).join(' · ')}</span>
        </span>
        <button type="button" className="btn plain push" onClick={onOther}>
          Another file
        </button>
      </p>
      <Questions questions={questions} answers={answers} saidAs={saidAs} onAnswer={onAnswer} />
      <SampleList samples={samples} panel={panel} goes={goes} onGoes={onGoes} />
      {samples.some(({ id, measures }) => Object.hasOwn(goes, id) && measures.some(isOfOtherLight)) ? (
        <p>
          <b>These figures are not for D50, 2°.</b> They are kept as given, and compared with photos and other panels at
          a larger ±; the rack shows colours of D50, 2° only. If the instrument’s program exports spectra, take those,
          or set it to D50, 2°.
        </p>
      ) : null}
      <div className="instrument-common">
        <label className="field">
          <span>It was measured</span>
          <select className="select" value={stage} onChange={(event) => setStage(event.target.value as Stage | '')}>
            <option value="">wet, dry or cleared?</option>
            {Object.entries(stageInWords).map(([key, words]) => (
              <option key={key} value={key}>
                {words}
              </option>
            ))}
          </select>
        </label>
        <NumberField
          label="± in dE00, if its maker states one"
          value={bound90}
          onValue={setBound90}
          min={0.01}
          max={50}
          digits={2}
        />
      </div>
      <div className="instrument-acts">
        <button
          type="button"
          className="btn main"
          aria-disabled={busy || missing !== null}
          title={missing ?? undefined}
          onClick={() => void (busy ? undefined : take())}
        >
          {actInWords(count, panel, Object.keys(goes).length)}
        </button>
        {missing === null ? null : <p className="fine">{missing}</p>}
        <button type="button" className="btn plain push" onClick={close}>
          Cancel
        </button>
      </div>
    </>
  )
}

function actInWords(count: number, panel: Panel | null, chosen: number): string {
  if (!panel) return chosen > 1 ? `Add ${chosen} references` : 'Add the reference'
  if (count === 0) return `Take to ${panel.code}`
  return `Take ${count === 1 ? '1 reading' : `${count} readings`} to ${panel.code}`
}

function whatIsMissing(inspected: Inspected, goes: Goes, stage: Stage | '', panel: Panel | null): string | null {
  if (Object.keys(goes).length === 0) return panel ? 'Choose a step for a sample first.' : 'Choose a sample first.'
  const waits = inspected.samples.some(
    ({ id, measures }) => Object.hasOwn(goes, id) && measures.some(({ colour, notTaken }) => !colour && !notTaken),
  )
  if (waits) return 'Answer what the file does not say first.'
  if (!panel && Object.values(goes).some((name) => name.trim() === '')) return 'A reference has no name yet.'
  const unusable = inspected.samples.find(
    ({ id, measures }) => Object.hasOwn(goes, id) && measures.every((m) => !m.colour),
  )
  if (unusable) return `“${unusable.name}” cannot be taken with these answers.`
  return stage === '' ? 'Say first whether it was wet, dry or cleared.' : null
}

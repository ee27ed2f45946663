import { useState } from 'react'
import { sayAsked, sayStep } from '../../../../shared-core/mix/cup/say-amounts.ts'
import { isCatalysed } from '../../../../shared-core/mix/safety/materials-in.ts'
import { potLifeOf } from '../../../../shared-core/mix/shelf-facts.ts'
import { usualStandMin } from '../../../../shared-core/mix/spray/clocks.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { Caution } from '../../../parts/caution.tsx'
import { NumberField } from '../../../parts/number-field.tsx'
import { sayTime } from '../../../parts/say-time.ts'
import { act } from '../../../state/asking.ts'
import { useBench } from '../../../state/mix-bench.ts'
import { useStore } from '../../../state/store.ts'
import { wordingOf } from '../say-amounts.ts'
import { BenchHeading } from './bench-heading.tsx'
import { backOne } from './pour.ts'
import type { Bench } from './reckon/bench-steps.ts'

/** Between the two that are usual. */
const standMinutes = Math.floor((usualStandMin.least + usualStandMin.most) / 2)

/** What is written down, what comes off the shelf, and which clocks start. */
export function RecordStep({ bench, cup, materials }: { bench: Bench; cup: Cup; materials: readonly Material[] }) {
  const settings = useStore((s) => s.settings)
  const { decimal } = wordingOf(settings)
  const refs = bench.pouring.map(({ material }) => material)
  const hardens = isCatalysed(cup.mixture) || potLifeOf(refs, materials) !== null
  const [mixedBy, setMixedBy] = useState(cup.mixedBy || settings.painter)
  const [notes, setNotes] = useState(cup.notes)
  const [standMin, setStandMin] = useState<number | null>(
    refs.some(({ kind }) => kind === 'concentrate') ? standMinutes : null,
  )
  const [potLifeMin, setPotLifeMin] = useState(potLifeOf(refs, materials))
  const [busy, setBusy] = useState(false)
  const dry = bench.lines.filter(({ poured }) => poured === null).map(({ name }) => name)

  async function finish() {
    if (busy) return
    setBusy(true)
    const done = await act('cups.finish', { cupId: cup.id, mixedBy, standMin, potLifeMin, notes })
    setBusy(false)
    if (!done) return
    useBench.setState((s) => ({ at: null, typed: '', short: { ...s.short, [cup.id]: done.short } }))
    useStore.getState().say(`${cup.code} is written down and off the shelf.`, 'Undo takes it back.')
  }

  return (
    <form
      className="bench-pour"
      onSubmit={(event) => {
        event.preventDefault()
        void finish()
      }}
    >
      <BenchHeading stepId="record">
        <span>All in:</span> write it down
      </BenchHeading>
      <table className="mix-lines bench-poured">
        <thead>
          <tr>
            <th scope="col">Poured</th>
            <th scope="col">Asked</th>
            <th scope="col">In the cup</th>
            <th scope="col">Batch</th>
          </tr>
        </thead>
        <tbody>
          {bench.lines.map((line, at) => {
            const unit = line.powder || cup.measure.by === 'mass' ? 'g' : 'mL'
            return (
              <tr key={line.id}>
                <th scope="row">{line.name}</th>
                <td className="num">
                  {sayAsked(line.wanted, cup.measure, decimal)} {unit}
                </td>
                <td className="num">
                  {line.poured === null ? 'nothing' : `${sayStep(line.poured, cup.measure.step, decimal)} ${unit}`}
                </td>
                <td>{bench.lines[at]!.batch}</td>
              </tr>
            )
          })}
        </tbody>
      </table>
      {dry.length > 0 ? (
        <Caution message={`Not poured: ${dry.join(', ')}.`} remedy="It is written down without." />
      ) : null}
      <div className="mix-fields bench-fields">
        <label className="field">
          <span>Mixed by</span>
          <input
            className="input"
            value={mixedBy}
            maxLength={120}
            onChange={(event) => setMixedBy(event.target.value)}
          />
        </label>
        <NumberField
          label="Let it stand, minutes"
          value={standMin}
          min={1}
          max={1440}
          digits={0}
          onValue={setStandMin}
        />
        {hardens ? (
          <NumberField
            label="Pot life, minutes"
            value={potLifeMin}
            min={1}
            max={100_000}
            digits={0}
            onValue={setPotLifeMin}
          />
        ) : null}
        <label className={hardens ? 'field mix-row' : 'field mix-wide'}>
          <span>Notes</span>
          <input className="input" value={notes} maxLength={4000} onChange={(event) => setNotes(event.target.value)} />
        </label>
      </div>
      <p className="fine">
        {standMin === null
          ? 'No clock for standing. '
          : 'The clock for standing starts now and goes on wherever you are. '}
        {hardens
          ? potLifeMin === null
            ? 'It hardens: its pot life stands in the data sheet. '
            : cup.hardenerAt === null
              ? 'Pot life is counted from now. '
              : `Pot life is counted from ${sayTime(cup.hardenerAt, settings)}, when the hardener was written down. `
          : ''}
      </p>
      <div className="bench-acts bench-last">
        <button type="button" className="btn" onClick={() => backOne(cup, materials)}>
          Back one
        </button>
        <button type="submit" className="btn main" aria-disabled={busy}>
          Done: take it off the shelf
        </button>
      </div>
    </form>
  )
}

import './formula.css'
import { reducerWarnings } from '../../../../shared-core/mix/spray/gun-limits.ts'
import type { FilmKnowledge, PlanFormula } from '../../../../shared-core/records/film.ts'
import { addCandy } from '../../../commands/plan/add-candy.ts'
import { printSprayList } from '../../../commands/plan/print-spray-list.ts'
import { putOnList } from '../../../commands/plan/put-on-list.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { blendInWords, candyName, carrierInWords, extrasInWords, mixtureOf } from '../../../parts/film/film-words.ts'
import { decimalSign } from '../../../parts/say-numbers.ts'
import { useAnswer } from '../../../state/asking.ts'
import { setFormula } from '../../../state/plan.ts'
import { useStore } from '../../../state/store.ts'
import { Cup } from './cup.tsx'
import { Dose } from './dose.tsx'
import { FinishChoice, GunChoice, MidCoatChoice } from './sprayed-how.tsx'

type Props = { formula: PlanFormula; knows: FilmKnowledge }

const even = [0, 2, 4, 6, 8, 10, 12]
const fives = [0, 5, 10, 15, 20]
const tens = [0, 10, 20, 30, 40, 50]

/** The formula as a title, and everything that can be set of it. The table follows. */
export function FormulaPanel({ formula, knows }: Props) {
  const settings = useStore((s) => s.settings)
  const extras = extrasInWords(formula, knows, settings)
  return (
    <section className="plan-formula" aria-label="The formula">
      <div className="plan-formula-in scroll">
        <h1>
          {blendInWords(formula, knows, settings)}
          {formula.candies.length > 0 ? ` ${carrierInWords(formula, settings)}` : ''}
        </h1>
        <p className="fine">
          {`${['By volume', ...(formula.finish === 'cleared' ? ['under clear'] : []), ...extras].join(', ')}.`}
        </p>
        <Candies formula={formula} knows={knows} />
        <CommandButton command={addCandy} />
        <Dose
          label="Carrier to 1 of blend"
          value={formula.carrierParts}
          from={0}
          to={12}
          most={100}
          marks={even}
          onValue={(carrierParts) => setFormula({ carrierParts })}
          note={formula.carrierParts === 0 ? 'Straight: no carrier at all.' : undefined}
        />
        <Reducer formula={formula} knows={knows} />
        <Cup formula={formula} knows={knows} />
        <section className="block plan-how" aria-label="How it is sprayed">
          <h2>How it is sprayed</h2>
          <FinishChoice formula={formula} />
          <GunChoice formula={formula} knows={knows} />
          <Dose
            label="Hardener, on top"
            value={formula.hardenerPercent}
            from={0}
            to={50}
            most={100}
            marks={tens}
            unit="%"
            onValue={(hardenerPercent) => setFormula({ hardenerPercent })}
          />
          <MidCoatChoice formula={formula} knows={knows} place="under" />
          <MidCoatChoice formula={formula} knows={knows} place="over" />
        </section>
      </div>
      <div className="plan-formula-acts">
        <CommandButton command={putOnList} look="main" />
        <CommandButton command={printSprayList} look="plain" />
      </div>
    </section>
  )
}

function Candies({ formula, knows }: Props) {
  const { candies } = formula
  const change = (id: string, parts: number) =>
    setFormula({ candies: candies.map((candy) => (candy.id === id ? { id, parts } : candy)) })
  if (candies.length === 0) return <p>There is no candy in it: the table shows the bare grounds.</p>
  return candies.map(({ id, parts }) => (
    <Dose
      key={id}
      label={`${candyName(knows, id)}, parts`}
      value={parts}
      from={0}
      to={12}
      least={0.1}
      most={1000}
      marks={even}
      onValue={(wanted) => change(id, wanted)}
      onRemove={() => setFormula({ candies: candies.filter((candy) => candy.id !== id) })}
    />
  ))
}

/** The limits are common practice, no source. They warn, they never refuse. */
function Reducer({ formula, knows }: Props) {
  const settings = useStore((s) => s.settings)
  const { value } = useAnswer('gunSetups.list', {})
  const gunId = formula.gunSetupId ?? knows.guns.find((gun) => gun.usual)?.id
  const tipMm = value?.gunSetups.find(({ id }) => id === gunId)?.tipMm ?? null
  const mixture = mixtureOf(formula, knows)
  const warnings = mixture ? reducerWarnings(mixture, tipMm, decimalSign(settings)) : []
  return (
    <Dose
      label="Reducer, on top"
      value={formula.reducerPercent}
      from={0}
      to={20}
      most={100}
      marks={fives}
      unit="%"
      onValue={(reducerPercent) => setFormula({ reducerPercent })}
      note={
        warnings.length > 0 ? (
          <b>{warnings.join(' ')}</b>
        ) : (
          'Common practice: 0 % full-size gun, 5 % small tips, 10 % the usual limit, up to 20 % with a 0.5 mm airbrush tip.'
        )
      }
    />
  )
}

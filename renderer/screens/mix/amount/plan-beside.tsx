import { sameMaterial } from '../../../../shared-core/mix/cup/contents.ts'
import type { Measuring } from '../../../../shared-core/mix/cup/measuring.ts'
import type { PourPlan } from '../../../../shared-core/mix/cup/pour-plan.ts'
import { batchesInWords, pourWarnings } from '../../../../shared-core/mix/cup/pour-words.ts'
import { inOunces, sayStep } from '../../../../shared-core/mix/cup/say-amounts.ts'
import { hundred, multiply, toNumber } from '../../../../shared-core/mix/rational.ts'
import { densityFrom, namedOnce, onShelf } from '../../../../shared-core/mix/shelf-facts.ts'
import { strainingFor } from '../../../../shared-core/mix/spray/straining.ts'
import { formatShort } from '../../../../shared-core/mix/units.ts'
import type { Material, Mixture } from '../../../../shared-core/records/mixture.ts'
import { Caution } from '../../../parts/caution.tsx'
import type { MixDraft, MixHabits } from '../../../state/mix-draft.ts'
import type { Wording } from '../say-amounts.ts'
import { ShelfLink } from '../shelf-link.tsx'
import { Working } from '../surface/working.tsx'
import { ColourEffect } from './colour-effect.tsx'
import type { Choice, MixSource } from './source.ts'
import { StartCups } from './start-cups.tsx'
import type { Outcome, WorkedOut } from './work-out.ts'

type Props = {
  outcome: Outcome
  mixture: Mixture
  source: MixSource
  choice: Choice
  draft: MixDraft
  habits: MixHabits
  measuring: Measuring
  materials: readonly Material[]
  words: Wording
}

/** What is going to be poured, beside the form and always up to date. */
export function PlanBeside(props: Props) {
  const { outcome, materials, mixture } = props
  return (
    <section className="mix-beside" aria-label="What to pour">
      <div className="mix-plan scroll" aria-live="polite">
        {outcome.ok ? (
          <Plan {...props} worked={outcome.worked} />
        ) : outcome.why === 'wanting' ? (
          <p className="lead">{outcome.message}</p>
        ) : (
          <>
            <Caution message={outcome.message} remedy={outcome.remedy} />
            {outcome.code === 'mix/no-density' ? <WithoutDensity mixture={mixture} materials={materials} /> : null}
          </>
        )}
      </div>
      <StartCups {...props} />
    </section>
  )
}

/** The way to what is missing. */
function WithoutDensity({ mixture, materials }: { mixture: Mixture; materials: readonly Material[] }) {
  const densityOf = densityFrom(materials)
  const lacking = namedOnce(mixture).filter((ref) => densityOf(ref) === null)
  const there = lacking.flatMap((ref) => onShelf(materials, ref) ?? [])
  const fresh = lacking.filter((ref) => !onShelf(materials, ref)).map(({ name }) => name)
  return (
    <ul className="mix-links">
      {there.map((material) => (
        <li key={material.id}>
          <ShelfLink materialId={material.id}>Density of {material.name}</ShelfLink>
        </li>
      ))}
      {fresh.length > 0 ? (
        <li className="fine">{fresh.join(', ')}: not on the shelf yet. Put it there first, with its density.</li>
      ) : null}
    </ul>
  )
}

function Plan({ worked, mixture, choice, draft, materials, words, measuring }: Props & { worked: WorkedOut }) {
  const { plan, spray, shortOf, count } = worked
  const { each } = plan
  const batches = draft.target === 'cups' ? null : batchesInWords(plan, words.decimal)
  const { warnings } = strainingFor(each.lines.map(({ material }) => material))
  const unit = each.total.unit
  return (
    <>
      <h2 className="mix-total">
        <span>
          {count > 1 ? `${count} cups, each ` : ''}
          <b className="num">{sayStep(each.total.rounded, measuring.step, words.decimal)}</b> {unit}
        </span>
        <span className="fine">{alsoTotal(each, words)}</span>
      </h2>
      <Lines plan={each} measuring={measuring} words={words} />
      <ColourEffect mixture={mixture} poured={each.roundedMixture} ground={choice.ground} coats={draft.coats} />
      {[...(batches ? [batches] : []), ...pourWarnings(each, words.decimal), ...warnings].map((warning) => (
        <Caution key={warning} message={warning} />
      ))}
      {shortOf ? (
        <div className="mix-short">
          <Caution
            message={`The shelf has too little ${shortOf.name} for all of it.`}
            remedy="Mix less, or count it again."
          />
          {onShelf(materials, shortOf) ? (
            <ShelfLink materialId={onShelf(materials, shortOf)!.id}>{shortOf.name} on the shelf</ShelfLink>
          ) : null}
        </div>
      ) : null}
      {spray ? <Working spray={spray} words={words} /> : null}
    </>
  )
}

/** The volume of what is weighed, and ounces for who works in them. */
function alsoTotal({ total, volumeMl }: PourPlan, words: Wording): string {
  const ounces = inOunces(toNumber(total.exact), total.unit, words)
  const volume = total.unit === 'g' && volumeMl ? `${formatShort(toNumber(volumeMl), 1, words.decimal)} mL` : ''
  return [volume, ounces].filter(Boolean).join(', ')
}

function Lines({ plan, measuring, words }: { plan: PourPlan; measuring: Measuring; words: Wording }) {
  const say = (amount: Parameters<typeof sayStep>[0]) => sayStep(amount, measuring.step, words.decimal)
  return (
    <table className="mix-lines">
      <thead>
        <tr>
          <th scope="col">Pour</th>
          <th scope="col">Amount</th>
          <th scope="col">{measuring.by === 'mass' ? 'Scale says' : 'Cup says'}</th>
          <th scope="col">Rounding</th>
        </tr>
      </thead>
      <tbody>
        {plan.lines.map(({ material, rounded, reading, unit, drops, path }, at) => (
          <tr key={`${at} ${material.name}`}>
            <th scope="row">
              {material.name}
              {path.length > 0 && path.at(-1) !== '' ? <span className="fine"> in {path.at(-1)}</span> : null}
            </th>
            <td className="num">
              {say(rounded)} {unit}
              {drops !== null ? <span className="fine"> {drops} drops</span> : null}
            </td>
            <td className="num">{reading ? `${say(reading)} ${plan.total.unit}` : 'apart'}</td>
            <td className="num">{roundingOf(plan, at, words)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** What rounding does to the share, relative to the formula's. */
function roundingOf({ rounding, lines }: PourPlan, at: number, { decimal }: Wording): string {
  const found = rounding.all.find(({ material }) => sameMaterial(material, lines[at]!.material))
  const percent = found ? toNumber(multiply(found.relative, hundred)) : 0
  if (Math.abs(percent) < 0.05) return '0 %'
  return `${percent > 0 ? '+' : ''}${formatShort(percent, 1, decimal)} %`
}

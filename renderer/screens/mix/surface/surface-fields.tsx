import { densityFrom, namedOnce, onShelf, solidsFrom } from '../../../../shared-core/mix/shelf-facts.ts'
import { gunKinds } from '../../../../shared-core/mix/surface/guns.ts'
import { formatQuantity, formatShort } from '../../../../shared-core/mix/units.ts'
import type { PartToPaint } from '../../../../shared-core/records/customer-job.ts'
import type { Material, Mixture } from '../../../../shared-core/records/mixture.ts'
import { NumberField } from '../../../parts/number-field.tsx'
import { QuantityField } from '../../../parts/quantity-field.tsx'
import { changeHabits, type DraftPart, type MixDraft, type MixHabits } from '../../../state/mix-draft.ts'
import type { Wording } from '../say-amounts.ts'
import { ShelfLink } from '../shelf-link.tsx'
import { PartForm } from './part-form.tsx'
import { knownSolids } from './spray-job.ts'

type Props = {
  mixture: Mixture
  draft: MixDraft
  habits: MixHabits
  jobParts: readonly PartToPaint[]
  materials: readonly Material[]
  words: Wording
  onDraft: (change: Partial<MixDraft>) => void
}

/** What is painted, how thick, and with which gun. */
export function SurfaceFields(props: Props) {
  const { draft, onDraft, words } = props
  const put = (part: DraftPart) => onDraft({ parts: draft.parts.map((each) => (each.id === part.id ? part : each)) })
  return (
    <>
      <fieldset className="mix-set">
        <legend>Parts to paint</legend>
        <JobParts {...props} />
        <ul>
          {draft.parts.map((part) => (
            <PartForm
              key={part.id}
              part={part}
              words={words}
              onPart={put}
              onRemove={() => onDraft({ parts: draft.parts.filter(({ id }) => id !== part.id) })}
            />
          ))}
        </ul>
        <button
          type="button"
          className="btn"
          onClick={() =>
            onDraft({ parts: [...draft.parts, { id: crypto.randomUUID(), name: '', surface: typedArea }] })
          }
        >
          Add a part
        </button>
      </fieldset>
      <Film {...props} />
      <Gun {...props} />
    </>
  )
}

export const typedArea = { shape: 'typed', measures: {} }

function JobParts({ jobParts, draft, words, onDraft }: Props) {
  if (jobParts.length === 0) return null
  return (
    <ul className="mix-job-parts" aria-label="Parts of the job">
      {jobParts.map(({ id, name, areaM2, areaDoubt }) => (
        <li key={id}>
          <label className="check">
            <input
              type="checkbox"
              checked={!draft.leftOut.includes(id)}
              onChange={(event) =>
                onDraft({
                  leftOut: event.target.checked ? draft.leftOut.filter((each) => each !== id) : [...draft.leftOut, id],
                })
              }
            />
            <span>
              {name}, {formatQuantity(areaM2, 'area', words.system, words.decimal)} ±{' '}
              {formatShort(areaDoubt * 100, 0, words.decimal)} %
            </span>
          </label>
        </li>
      ))}
    </ul>
  )
}

function Film({ mixture, draft, habits, materials, words, onDraft }: Props) {
  const known = knownSolids(mixture, solidsFrom(materials), densityFrom(materials))
  const fromShelf = 'percent' in known ? known.percent : null
  const lacking = namedOnce(mixture)
    .flatMap((ref) => onShelf(materials, ref) ?? [])
    .filter(({ volumeSolidsPercent }) => volumeSolidsPercent === null)
  return (
    <fieldset className="mix-set">
      <legend>Film</legend>
      <div className="mix-fields">
        <NumberField
          label="Coats (a cross coat is two)"
          value={draft.coats}
          min={0.5}
          max={60}
          digits={1}
          onValue={(coats) => onDraft({ coats })}
        />
        <QuantityField
          label={habits.build === 'dry' ? 'One coat, dry' : 'One coat, wet'}
          measure="thickness"
          value={habits.micrometres}
          onValue={(micrometres) => changeHabits({ micrometres })}
        />
        <div className="pair" role="group" aria-label="The coat is given">
          {(['dry', 'wet'] as const).map((build) => (
            <button
              key={build}
              type="button"
              aria-pressed={habits.build === build}
              onClick={() => changeHabits({ build })}
            >
              {build === 'dry' ? 'Dry' : 'Wet'}
            </button>
          ))}
        </div>
        {habits.build === 'dry' ? (
          <NumberField
            label="Volume solids as sprayed, %"
            value={draft.solidsPercent ?? fromShelf}
            min={0.1}
            max={100}
            digits={1}
            onValue={(solidsPercent) => onDraft({ solidsPercent })}
          />
        ) : null}
      </div>
      <p className="fine">
        {habits.build === 'wet'
          ? 'As a wet film comb reads it.'
          : draft.solidsPercent !== null && fromShelf !== null
            ? `The shelf would say ${formatShort(fromShelf, 1, words.decimal)} %. Empty the field to go by it.`
            : fromShelf === null
              ? `${'message' in known ? known.message : ''} Or type the data sheet’s figure here.`
              : 'From the shelf: each material by its share of the volume. The dry film of a coat stands in the data sheet.'}
      </p>
      {habits.build === 'dry' && fromShelf === null && draft.solidsPercent === null ? (
        <ul className="mix-links">
          {lacking.map((material) => (
            <li key={material.id}>
              <ShelfLink materialId={material.id}>Volume solids of {material.name}</ShelfLink>
            </li>
          ))}
        </ul>
      ) : null}
    </fieldset>
  )
}

function Gun({ draft, habits, words, onDraft }: Props) {
  const gun = gunKinds.find(({ name }) => name === habits.gun)
  const say = (share: number) => formatShort(share * 100, 0, words.decimal)
  return (
    <fieldset className="mix-set">
      <legend>Gun and losses</legend>
      <div className="mix-fields">
        <label className="field mix-wide">
          <span>Gun</span>
          <select
            className="select"
            value={habits.gun}
            onChange={(event) => {
              changeHabits({ gun: event.target.value })
              onDraft({ transferPercent: null })
            }}
          >
            {gunKinds.map(({ name, title }) => (
              <option key={name} value={name}>
                {title}
              </option>
            ))}
          </select>
        </label>
        <NumberField
          label="Stays on the part, %"
          value={draft.transferPercent ?? (gun ? gun.efficiency * 100 : null)}
          min={1}
          max={100}
          digits={1}
          onValue={(transferPercent) => onDraft({ transferPercent })}
        />
        <QuantityField
          label="Left in the hose"
          measure="volume"
          value={habits.hoseMl}
          onValue={(hoseMl) => changeHabits({ hoseMl })}
        />
        <QuantityField
          label="Left in the cup"
          measure="volume"
          value={habits.cupLossMl}
          onValue={(cupLossMl) => changeHabits({ cupLossMl })}
        />
        <QuantityField
          label="Left in the strainer"
          measure="volume"
          value={habits.strainerMl}
          onValue={(strainerMl) => changeHabits({ strainerMl })}
        />
      </div>
      {gun && draft.transferPercent === null ? (
        <p className="fine">
          Usually {say(gun.low)} to {say(gun.high)} %: flat parts the upper end, a tank or a frame the lower.
        </p>
      ) : null}
    </fieldset>
  )
}

import { formatShort } from '../../../../shared-core/mix/units.ts'
import type { FilmKnowledge, KnownGun, PlanFormula, PlanMidCoat } from '../../../../shared-core/records/film.ts'
import { decimalSign } from '../../../parts/say-numbers.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { setFormula } from '../../../state/plan.ts'
import { useStore } from '../../../state/store.ts'

type Props = { formula: PlanFormula; knows: FilmKnowledge }

/** Under clear or as sprayed. */
export function FinishChoice({ formula }: Pick<Props, 'formula'>) {
  return (
    <div className="field">
      <span id="plan-finish">What is predicted</span>
      <div className="pair" role="group" aria-labelledby="plan-finish">
        {(['cleared', 'uncleared'] as const).map((finish) => (
          <button
            key={finish}
            type="button"
            aria-pressed={formula.finish === finish}
            onClick={() => setFormula({ finish })}
          >
            {finish === 'cleared' ? 'Under clear' : 'As sprayed'}
          </button>
        ))}
      </div>
    </div>
  )
}

export function GunChoice({ formula, knows }: Props) {
  const decimal = useStore((s) => decimalSign(s.settings))
  if (knows.guns.length === 0) return null
  const usual = knows.guns.find((gun) => gun.usual)
  const chosen = knows.guns.find(({ id }) => id === formula.gunSetupId) ?? usual
  return (
    <div>
      <label className="field">
        <span>Gun set-up</span>
        <select
          className="select"
          value={formula.gunSetupId ?? ''}
          onChange={(event) => setFormula({ gunSetupId: event.target.value || null })}
        >
          <option value="">{usual ? `${usual.name}, the usual one` : 'the usual one'}</option>
          {knows.guns
            .filter((gun) => !gun.usual)
            .map((gun) => (
              <option key={gun.id} value={gun.id}>
                {gun.name}
              </option>
            ))}
        </select>
      </label>
      {chosen && !chosen.usual ? <p className="fine">{buildInWords(chosen, decimal)}</p> : null}
    </div>
  )
}

/** "One coat builds as much as 1.24 of the usual gun (1.12 to 1.37), from 8 steps." */
export function buildInWords(gun: KnownGun, decimal: 'comma' | 'point'): string {
  const figure = (value: number) => formatShort(value, 2, decimal)
  const from = gun.stepCount === 0 ? 'no step of it was read' : `from ${gun.stepCount} steps`
  return `One coat builds as much as ${figure(gun.build)} of the usual gun (${figure(gun.buildFrom)} to ${figure(gun.buildTo)}; ${from}).`
}

/** Coats of a mid coat that can be chosen; more than three are warned of. */
const midCoats = [1, 2, 3, 4]

export function MidCoatChoice({ formula, knows, place }: Props & { place: 'under' | 'over' }) {
  if (knows.midCoats.length === 0) return null
  const chosen = formula[place]
  const known = knows.midCoats.find(({ id }) => id === chosen?.id)
  const set = (mid: PlanMidCoat | null) => setFormula({ [place]: mid })
  return (
    <div className="plan-mid">
      <label className="field">
        <span>{`Mid coat ${place} the candy`}</span>
        <select
          className="select"
          value={chosen?.id ?? ''}
          onChange={(event) => set(event.target.value ? { id: event.target.value, coats: chosen?.coats ?? 2 } : null)}
        >
          <option value="">none</option>
          {knows.midCoats.map(({ id, name, seen }) => (
            <option key={id} value={id}>
              {seen.includes(place) ? name : `${name}, never read ${place} candy`}
            </option>
          ))}
        </select>
      </label>
      {chosen ? (
        <label className="field">
          <span>Its coats</span>
          <select
            className="select"
            value={chosen.coats}
            onChange={(event) => set({ ...chosen, coats: Number(event.target.value) })}
          >
            {[...new Set([...midCoats, chosen.coats])].map((coats) => (
              <option key={coats} value={coats}>
                {coatsInWords(coats)}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      {chosen ? (
        <p className="fine plan-mid-note">
          {chosen.coats > 3 ? <b>A mid coat gets two coats, three at most. </b> : null}
          {known && !known.seen.includes(place) ? <b>{`${known.name} was never read ${place} candy. `}</b> : null}
          20 to 25 % carrier, two coats, three at most: common practice.
        </p>
      ) : null}
    </div>
  )
}

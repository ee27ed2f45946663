import { useMemo } from 'react'
import { formulaInWords } from '../../../../shared-core/mix/formula-words.ts'
import { onShelf } from '../../../../shared-core/mix/shelf-facts.ts'
import { withReducer } from '../../../../shared-core/mix/spray/gun-limits.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { ArrowBack } from '../../../parts/icons.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { changeDraft, type MixDraft, newDraft, useMixing } from '../../../state/mix-draft.ts'
import { go, goBack, type MixFrom } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { wordingOf } from '../say-amounts.ts'
import { SurfaceFields } from '../surface/surface-fields.tsx'
import { MeasureFields } from './measure-fields.tsx'
import { measuringFor } from './measuring-for.ts'
import { PlanBeside } from './plan-beside.tsx'
import { ReducerFields } from './reducer-fields.tsx'
import { type Choice, type MixSource, useSource } from './source.ts'
import { TargetFields } from './target-fields.tsx'
import { workOut } from './work-out.ts'

const toMix = { at: 'mix', cupId: null, from: null } as const

/** How much to mix of a panel's, a job's or a typed formula. */
export function HowMuch({ from }: { from: MixFrom }) {
  const { value } = useAnswer('materials.list', {})
  const { source, wrong } = useSource(from, value?.materials)
  if (wrong) {
    return (
      <main className="mix-alone" aria-label="Mix">
        <h1 className="say">{wrong.message}</h1>
        <p className="lead">{wrong.remedy}</p>
        <button type="button" className="btn main" onClick={() => go(toMix)}>
          Choose something else
        </button>
      </main>
    )
  }
  if (!source || !value) return <main className="mix-alone" aria-label="Mix" />
  return <Amount from={from} source={source} materials={value.materials} />
}

/** Nothing said yet: a job's parts are what its paint is for. */
const firstDraft = ({ parts, choices }: MixSource): MixDraft => ({
  ...newDraft,
  target: parts.length > 0 ? 'surface' : 'volume',
  coats: choices[0]?.coats ?? null,
  tipMm: choices[0]?.tipMm ?? null,
})

function Amount({ from, source, materials }: { from: MixFrom; source: MixSource; materials: readonly Material[] }) {
  const key = `${from.kind} ${from.key}`
  const first = useMemo(() => firstDraft(source), [source])
  const draft = useMixing((s) => s.drafts[key]) ?? first
  const habits = useMixing((s) => s.habits)
  const settings = useStore((s) => s.settings)
  const words = useMemo(() => wordingOf(settings), [settings])
  const onDraft = (change: Partial<MixDraft>) => changeDraft(key, first, change)
  const choice = source.choices[draft.choice] ?? source.choices[0]!
  const mixture = useMemo(() => mixtureOf(choice, draft, materials), [choice, draft, materials])
  const measuredWith = measuringFor(habits.measure, mixture, materials)
  const { measuring } = measuredWith
  const outcome = useMemo(
    () => workOut({ mixture, draft, habits, measuring, materials, jobParts: source.parts, words }),
    [mixture, draft, habits, measuring, materials, source.parts, words],
  )
  const shared = { mixture, draft, habits, materials, words, onDraft }
  return (
    <main className="mix-amount" aria-label="How much to mix">
      <header className="mix-head">
        <button type="button" className="btn" onClick={() => goBack(toMix)}>
          <ArrowBack />
          Back
        </button>
        <div>
          <h1 className="say">
            How much of <b>{source.title}</b>?
          </h1>
          <p className="fine">{formulaInWords(mixture, words).join('; ')}</p>
        </div>
      </header>
      <form className="mix-form scroll" aria-label="How much" onSubmit={(event) => event.preventDefault()}>
        {source.choices.length > 1 ? (
          <label className="field mix-choice">
            <span>Which of its layers</span>
            <select
              className="select"
              value={draft.choice}
              onChange={(event) => {
                const next = source.choices[Number(event.target.value)]!
                onDraft({
                  choice: Number(event.target.value),
                  coats: next.coats,
                  tipMm: next.tipMm ?? draft.tipMm,
                  solidsPercent: null,
                  reducer: null,
                  left: newDraft.left,
                })
              }}
            >
              {source.choices.map(({ label }, at) => (
                <option key={`${at} ${label}`} value={at}>
                  {label}
                </option>
              ))}
            </select>
          </label>
        ) : null}
        <TargetFields {...shared} hasParts={source.parts.length > 0} />
        {draft.target === 'surface' ? <SurfaceFields {...shared} jobParts={source.parts} /> : null}
        <MeasureFields {...shared} measuredWith={measuredWith} />
        <ReducerFields {...shared} />
      </form>
      <PlanBeside
        outcome={outcome}
        mixture={mixture}
        source={source}
        choice={choice}
        draft={draft}
        habits={habits}
        measuring={measuring}
        materials={materials}
        words={words}
      />
    </main>
  )
}

function mixtureOf({ mixture }: Choice, { reducer }: MixDraft, materials: readonly Material[]) {
  const material = reducer && onShelf(materials, { id: reducer.id, name: '', kind: 'reducer' })
  if (!reducer || !material) return mixture
  return withReducer(mixture, { id: material.id, name: material.name, kind: material.kind }, reducer.percent)
}

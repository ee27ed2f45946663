import { useId, useState } from 'react'
import { formatShort, parseNumber } from '../../../shared-core/mix/units.ts'
import { type PanelDraft, PanelStatus } from '../../../shared-core/records/panel.ts'
import { decimalSign } from '../../parts/say-numbers.ts'
import { Strokes } from '../../parts/strokes.tsx'
import { useStore } from '../../state/store.ts'
import { BareStripOffer } from './bare-strip-offer.tsx'
import { keepIdentities, stepsFromText, stepsToText } from './draft.ts'

type Props = {
  draft: PanelDraft
  tags: readonly string[]
  onChange: (update: (draft: PanelDraft) => PanelDraft, how?: 'typing' | 'step') => void
}

const statusInWords: Record<PanelStatus, string> = { planned: 'Planned', sprayed: 'Sprayed', retired: 'Retired' }

/** Title, date, substrate, steps, tags and notes. */
export function PanelFacts({ draft, tags, onChange }: Props) {
  const id = useId()
  /** Whoever does not want a bare strip on this panel is asked no more while the form is open. */
  const [offers, setOffers] = useState(true)
  const set = (change: Partial<PanelDraft>) => onChange((d) => ({ ...d, ...change }))
  return (
    <section className="facts-edit" aria-label="What it is">
      <label className="field">
        <span>Title</span>
        <input
          className="input"
          value={draft.title}
          placeholder="What you would call it"
          onChange={(e) => set({ title: e.target.value })}
        />
      </label>
      <div className="pair" role="group" aria-label="State of the panel">
        {PanelStatus.options.map((status) => (
          <button key={status} type="button" aria-pressed={draft.status === status} onClick={() => set({ status })}>
            {statusInWords[status]}
          </button>
        ))}
      </div>
      <div className="two">
        <label className="field">
          <span>{draft.status === 'planned' ? 'To be sprayed on' : 'Sprayed on'}</span>
          <input
            className="input"
            type="date"
            value={draft.sprayedOn ?? ''}
            onChange={(e) => set({ sprayedOn: e.target.value || null })}
          />
        </label>
        <label className="field">
          <span>By</span>
          <input className="input" value={draft.sprayedBy} onChange={(e) => set({ sprayedBy: e.target.value })} />
        </label>
      </div>
      <StepsField draft={draft} onChange={onChange} />
      {offers ? <BareStripOffer draft={draft} onChange={onChange} onDismiss={() => setOffers(false)} /> : null}
      <label className="field">
        <span>Substrate</span>
        <input
          className="input"
          value={draft.substrate}
          placeholder="steel 100 × 200 mm, sanded P400"
          onChange={(e) => set({ substrate: e.target.value })}
        />
      </label>
      <TagsField id={id} draft={draft} known={tags} onTags={(next) => set({ tags: next })} />
      <label className="field">
        <span>Notes</span>
        <textarea
          className="input"
          rows={5}
          value={draft.notes}
          placeholder="bled into white after two days …"
          onChange={(e) => set({ notes: e.target.value })}
        />
      </label>
    </section>
  )
}

function StepsField({ draft, onChange }: Pick<Props, 'draft' | 'onChange'>) {
  const decimal = useStore((s) => decimalSign(s.settings))
  const say = (value: number) => formatShort(value, 2, decimal)
  const [text, setText] = useState(() => stepsToText(draft.steps, say))
  const [before] = useState(draft.steps)
  const understood = stepsFromText(text, before, (part) => parseNumber(part))
  const [seen, setSeen] = useState(draft.steps)
  if (draft.steps !== seen) {
    setSeen(draft.steps)
    const same =
      understood?.length === draft.steps.length && understood.every((step, i) => step.coats === draft.steps[i]!.coats)
    // the steps changed elsewhere (a candy's coats, undo): show them
    if (!same) setText(stepsToText(draft.steps, say))
  }
  return (
    <div className="field">
      <label className="field">
        <span>Coats of candy, step by step</span>
        <input
          className="input"
          value={text}
          aria-invalid={understood === null}
          onChange={(event) => {
            setText(event.target.value)
            const steps = stepsFromText(event.target.value, before, (part) => parseNumber(part))
            if (steps) onChange((d) => ({ ...d, steps: keepIdentities(steps, before) }))
          }}
        />
      </label>
      <span className="steps-said">
        {understood === null
          ? 'Write the coats of each step, like 0 1 2 3 4.'
          : draft.steps.map((step, i) => (
              <span key={i}>
                {say(step.coats)} <Strokes coats={step.coats} />
              </span>
            ))}
      </span>
      <p className="fine">
        One number if it was sprayed in one go. A cross coat is two. A strip left bare under clear is 0.
      </p>
    </div>
  )
}

function TagsField(props: {
  id: string
  draft: PanelDraft
  known: readonly string[]
  onTags: (tags: string[]) => void
}) {
  const [text, setText] = useState(props.draft.tags.join(', '))
  return (
    <label className="field">
      <span>Tags, apart by commas</span>
      <input
        className="input"
        value={text}
        list={props.id}
        onChange={(event) => {
          setText(event.target.value)
          const tags = event.target.value.split(',').map((tag) => tag.trim())
          props.onTags([...new Set(tags.filter((tag) => tag !== ''))])
        }}
      />
      <datalist id={props.id}>
        {props.known.map((tag) => (
          <option key={tag} value={tag}>
            {tag}
          </option>
        ))}
      </datalist>
    </label>
  )
}

import './panel-form.css'
import { useCallback, useEffect, useEffectEvent, useState } from 'react'
import { LayerKind, type PanelDraft } from '../../../shared-core/records/panel.ts'
import { isOnlyLookedAt, onlyLookedAt } from '../../commands/command.ts'
import { Caution } from '../../parts/caution.tsx'
import { ArrowBack } from '../../parts/icons.tsx'
import { layerKindInWords } from '../../parts/layer-kinds.ts'
import { act, useAnswer } from '../../state/asking.ts'
import { go, goBack } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { blankDraft, blankLayer, dropDraft, keepDraft, keptDraft, missingInDraft } from './draft.ts'
import { LayerEditor } from './layer-editor.tsx'
import { PanelFacts } from './panel-facts.tsx'

const today = () => new Date().toLocaleDateString('sv-SE')

/** A panel's form: a new one, or one to change. What is typed is kept on this computer until it is saved. */
export function PanelForm({ panelKey }: { panelKey: string | null }) {
  const folder = useStore((s) => s.rack?.folder ?? '')
  const painter = useStore((s) => s.settings.painter)
  const { value, error } = useAnswer('panels.get', panelKey === null ? null : { key: panelKey })
  const [kept] = useState(() => keptDraft(folder, panelKey))
  const [blank] = useState(() => blankDraft(painter, today()))
  const isForReading = useStore(isOnlyLookedAt)
  const stored = panelKey === null ? blank : value?.panel
  if (isForReading) return <Absent message={onlyLookedAt} remedy="" />
  if (error) return <Absent message={error.message} remedy={error.remedy} />
  if (!stored) return <main className="form-place" />
  return <OpenForm key={stored.id ?? 'new'} panelKey={panelKey} stored={stored} kept={kept} />
}

function Absent(trouble: { message: string; remedy: string }) {
  return (
    <main className="centred">
      <Caution {...trouble} />
      <button type="button" className="btn" onClick={() => goBack({ at: 'rack' })}>
        Back to the rack
      </button>
    </main>
  )
}

type OpenProps = { panelKey: string | null; stored: PanelDraft; kept: PanelDraft | null }

function OpenForm({ panelKey, stored, kept }: OpenProps) {
  const folder = useStore((s) => s.rack?.folder ?? '')
  const { value: next } = useAnswer('panels.nextCode', panelKey === null ? {} : null)
  const { value: words } = useAnswer('panels.listWords', {})
  const [states, setStates] = useState<PanelDraft[]>([kept ?? stored])
  const [saving, setSaving] = useState(false)
  const draft = states.at(-1)!
  const changed = states.length > 1 || kept !== null
  const missing = missingInDraft(draft)

  /** Typing into one field is one state; what adds, moves or removes is a step that Ctrl Z takes back. */
  const change = useCallback((update: (draft: PanelDraft) => PanelDraft, how: 'typing' | 'step' = 'typing') => {
    setStates((before) => {
      const after = update(before.at(-1)!)
      return how === 'typing' && before.length > 1 ? [...before.slice(0, -1), after] : [...before.slice(-50), after]
    })
  }, [])

  useEffect(() => {
    if (changed) keepDraft(folder, panelKey, draft)
  }, [draft, changed, folder, panelKey])

  async function save() {
    if (missing !== null || saving) return
    const unread = document.querySelector<HTMLElement>('.form-place [aria-invalid="true"]')
    if (unread) {
      unread.focus()
      useStore.getState().warn({
        message: 'One figure cannot be understood, so nothing was saved yet.',
        remedy: 'Correct the marked field, or empty it.',
      })
      return
    }
    setSaving(true)
    const saved = await act('panels.save', { draft })
    setSaving(false)
    if (!saved) return
    dropDraft(folder, panelKey)
    go({ at: 'panel', key: saved.panel.code }, 'replace')
  }

  const onKey = useEffectEvent((event: KeyboardEvent) => {
    if (document.querySelector('dialog[open]')) return
    const mod = event.ctrlKey || event.metaKey
    if (mod && (event.key === 's' || event.key === 'Enter')) {
      event.preventDefault()
      void save()
    }
    const inText = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement
    if (mod && event.key === 'z' && !event.shiftKey && !inText) {
      event.preventDefault()
      setStates((before) => (before.length > 1 ? before.slice(0, -1) : before))
    }
  })
  useEffect(() => {
    // before the page's own shortcuts: in this place Ctrl Z takes back a step of the form
    const listen = (event: KeyboardEvent) => onKey(event)
    addEventListener('keydown', listen, { capture: true })
    return () => removeEventListener('keydown', listen, { capture: true })
  }, [])

  const move = (index: number, by: -1 | 1) =>
    change((d) => {
      const layers = [...d.layers]
      layers.splice(index + by, 0, ...layers.splice(index, 1))
      return { ...d, layers }
    }, 'step')

  return (
    <main className="form-place">
      <header className="form-head">
        <button
          type="button"
          className="btn"
          onClick={() => goBack(panelKey === null ? { at: 'rack' } : { at: 'panel', key: panelKey })}
        >
          <ArrowBack />
          Back
        </button>
        <h1 className="title">
          {panelKey === null ? 'New panel ' : 'Change '}
          <b className="num">{draft.code ?? next?.code ?? ''}</b>
        </h1>
        {missing ? <p className="fine">{missing}</p> : null}
        <span className="push" />
        {changed ? (
          <button
            type="button"
            className="btn plain"
            onClick={() => {
              dropDraft(folder, panelKey)
              setStates([stored])
              goBack(panelKey === null ? { at: 'rack' } : { at: 'panel', key: panelKey })
            }}
          >
            Give up changes
          </button>
        ) : null}
        <button
          type="button"
          className="btn main"
          aria-disabled={missing !== null || saving}
          onClick={() => void save()}
        >
          {panelKey === null ? `Save ${next?.code ?? 'panel'}` : `Save ${draft.code}`}
        </button>
      </header>
      {kept ? (
        <p className="form-kept">What you had typed before is here again. “Give up changes” throws it away.</p>
      ) : null}
      <div className="form-body scroll">
        <PanelFacts draft={draft} tags={words?.tags ?? []} onChange={change} />
        <section aria-label="Build">
          <h2 className="railname">Build, in spray order</h2>
          <ol className="layers-edit">
            {draft.layers.map((layer, index) => (
              <LayerEditor
                key={`${layer.id ?? 'new'}-${index}`}
                layer={layer}
                number={index + 1}
                count={draft.layers.length}
                grounds={words?.grounds ?? []}
                onChange={(after) => change((d) => withLayer(d, index, after))}
                onMove={(by) => move(index, by)}
                onRemove={() => change((d) => ({ ...d, layers: d.layers.filter((_, i) => i !== index) }), 'step')}
              />
            ))}
          </ol>
          <p className="layer-add">
            <span>Add</span>
            {LayerKind.options.map((kind) => (
              <button
                key={kind}
                type="button"
                className="btn"
                onClick={() => change((d) => ({ ...d, layers: addInOrder(d, kind) }), 'step')}
              >
                {layerKindInWords[kind]}
              </button>
            ))}
          </p>
        </section>
      </div>
    </main>
  )
}

/** A candy's coats and the only step's coats are the same fact: they change together while there is one step. */
function withLayer(draft: PanelDraft, index: number, next: PanelDraft['layers'][number]): PanelDraft {
  const before = draft.layers[index]!
  const layers = draft.layers.with(index, next)
  const only = draft.steps.length === 1 ? draft.steps[0]! : null
  const follows =
    (next.kind === 'candy' || next.kind === 'solid') && only?.coats === before.coats && next.coats !== before.coats
  return { ...draft, layers, steps: follows ? [{ ...only, coats: next.coats }] : draft.steps }
}

/** A new layer goes where its kind is usually sprayed: before the first layer of a later kind. */
function addInOrder(draft: PanelDraft, kind: LayerKind) {
  const order = LayerKind.options
  const at = draft.layers.findIndex((layer) => order.indexOf(layer.kind) > order.indexOf(kind))
  return draft.layers.toSpliced(at < 0 ? draft.layers.length : at, 0, blankLayer(kind, 1))
}

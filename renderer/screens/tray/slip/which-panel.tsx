import { useEffect, useEffectEvent, useId, useRef, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { noFilter, type PanelSummary } from '../../../../shared-core/records/panel.ts'
import { sayDay } from '../../../parts/say-numbers.ts'
import { act, useAnswer } from '../../../state/asking.ts'
import { choosePanel, supposePanel, useDesk } from '../desk-state.ts'
import { renewForPanel } from '../proposing/proposing.ts'
import { bringPanelBack } from '../proposing/said.ts'
import { NewPanel } from './new-panel.tsx'

/** Panels shown below what is typed: four leave the reading in sight. */
const most = 4
const upperFirst = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)

/** Which panel the photo shows: found by code or title, or made here. */
export function WhichPanel() {
  const [panel, photo] = useDesk(useShallow((s) => [s.panel, s.photo]))
  useNamedPanel()
  const { value } = useAnswer('panels.get', panel ? { key: panel.id } : null)
  if (!panel) return <FindPanel key={photo?.id} />
  const summary = value?.summary
  const facts = [
    summary?.ground,
    panel.sprayedOn ? `sprayed ${sayDay(panel.sprayedOn)}` : panel.status,
    summary?.bands.every((band) => band.lab === null) ? 'no reading yet' : null,
  ]
  return (
    <div className="tray-panel">
      <h1>
        <b className="num">{panel.code}</b> {panel.title}
      </h1>
      <p>{upperFirst(facts.filter(Boolean).join(', '))}</p>
    </div>
  )
}

/** A photo whose areas are named already belongs to the panel of those steps. */
function useNamedPanel(): void {
  const stepId = useDesk((s) =>
    s.panel || s.proposal ? null : (s.photo?.layout.areas.find((area) => area.stepId !== null)?.stepId ?? null),
  )
  const photoId = useDesk((s) => s.photo?.id)
  const [looked, setLooked] = useState<string | undefined>()
  const { value } = useAnswer(
    'panels.summaries',
    stepId === null || looked === photoId ? null : { ids: [], stepIds: [stepId] },
  )
  useEffect(() => {
    if (!value || stepId === null || looked === photoId) return
    setLooked(photoId)
    const found = value.panels.find((p) => p.bands.some((band) => band.stepId === stepId))
    if (found) void supposeById(found.id, photoId)
  }, [value, stepId, photoId, looked])
}

/** The panel that the marks name: whoever has said meanwhile that it is to be a reference is not overruled. */
async function supposeById(panelId: string, photoId: string | undefined): Promise<void> {
  const got = await act('panels.get', { key: panelId })
  if (got && useDesk.getState().photo?.id === photoId) supposePanel(got.panel)
}

async function chooseById(panelId: string, photoId = useDesk.getState().photo?.id): Promise<void> {
  const got = await act('panels.get', { key: panelId })
  if (!got || useDesk.getState().photo?.id !== photoId) return
  choosePanel(got.panel)
  backToPhoto()
  void renewForPanel()
}

/** The keys that go on from here belong to the photo. */
function backToPhoto(): void {
  useDesk.setState({ panelBefore: null })
  document.querySelector<HTMLElement>('.tray-stage')?.focus({ preventScroll: true })
}

function FindPanel() {
  const [words, setWords] = useState('')
  const [asked, setAsked] = useState('')
  const [making, setMaking] = useState(false)
  /** Enter was pressed before an answer had come: its first panel is meant. */
  const [wantsFirst, setWantsFirst] = useState(false)
  const id = useId()
  const input = useRef<HTMLInputElement>(null)
  const isSought = useDesk((s) => s.findsPanel)
  useEffect(() => {
    if (!isSought) return
    useDesk.setState({ findsPanel: false })
    input.current?.focus()
  }, [isSought])
  useEffect(() => {
    const wait = setTimeout(() => setAsked(words.trim()), 150)
    return () => clearTimeout(wait)
  }, [words])
  const { value } = useAnswer('panels.list', { filter: { ...noFilter, words: asked }, sort: 'code', limit: 400 })
  const found = likely(value?.panels ?? [], asked)
  const takeFirst = useEffectEvent(() => {
    if (!wantsFirst || value === undefined || asked !== words.trim()) return
    setWantsFirst(false)
    if (found[0] && asked !== '') void chooseById(found[0].id)
  })
  useEffect(() => takeFirst(), [wantsFirst, value, asked])
  if (making) return <NewPanel title={words.trim()} onDone={() => setMaking(false)} />
  return (
    <div className="tray-find">
      <label className="field" htmlFor={id}>
        <span>Which panel is it? Code or title</span>
        <input
          id={id}
          ref={input}
          className="input"
          type="search"
          autoComplete="off"
          value={words}
          onChange={(event) => {
            setWords(event.target.value)
            setWantsFirst(false)
          }}
          onKeyDown={(event) => {
            if (event.key === 'Enter' && words.trim() !== '') {
              setAsked(words.trim())
              setWantsFirst(true)
            } else if (event.key === 'Escape') {
              event.preventDefault()
              bringPanelBack()
              backToPhoto()
            }
          }}
        />
      </label>
      <ul aria-label="Panels found">
        {found.map((panel) => (
          <li key={panel.id}>
            <button type="button" onClick={() => void chooseById(panel.id)}>
              <b className="num">{panel.code}</b> {panel.title}
              <span className="fine">
                {[panel.ground, hasReading(panel) ? null : 'no reading yet'].filter(Boolean).join(', ')}
              </span>
            </button>
          </li>
        ))}
      </ul>
      {value && found.length === 0 && asked !== '' ? <p className="fine">No panel has these words.</p> : null}
      <button type="button" className="btn" onClick={() => setMaking(true)}>
        New panel
      </button>
    </div>
  )
}

const hasReading = (panel: PanelSummary) => panel.bands.some((band) => band.lab !== null)

/**
 * An exact code first, then codes and titles that have the words, before panels that have them somewhere else, as in a formula:
 * Enter takes the first. Among these, panels that nobody has photographed, newest codes first.
 */
function likely(panels: PanelSummary[], words: string): PanelSummary[] {
  const typed = words.toLowerCase()
  const rank = (panel: PanelSummary) => {
    const [code, title] = [panel.code.toLowerCase(), panel.title.toLowerCase()]
    if (code === typed) return 0
    const isNamed = code.includes(typed) || typed.split(/\s+/).every((word) => title.includes(word))
    return (isNamed ? 1 : 3) + (hasReading(panel) ? 1 : 0)
  }
  return panels.toSorted((a, b) => rank(a) - rank(b) || b.code.localeCompare(a.code)).slice(0, most)
}

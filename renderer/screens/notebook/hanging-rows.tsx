import type { NotebookPanel } from '../../../shared-core/contract/panels-csv-calls.ts'
import { formulaInWords } from '../../../shared-core/mix/formula-words.ts'
import { namesWithin } from '../../../shared-core/mix/names-within.ts'
import { usualCoats } from '../../../shared-core/records/notebook.ts'
import type { Layer, PanelDraft } from '../../../shared-core/records/panel.ts'
import { Paint } from '../../parts/lab-swatch.tsx'
import { decimalSign } from '../../parts/say-numbers.ts'
import { coatRange, coatsInWords, Strokes } from '../../parts/strokes.tsx'
import { useStore } from '../../state/store.ts'
import { countOf } from './notebook-words.ts'

/** The first panels as they would hang, with their build in words. */
export function HangingRows({ panels, total }: { panels: readonly NotebookPanel[]; total: number }) {
  if (panels.length === 0) return null
  return (
    <section className="notebook-hang" aria-label="The first panels as they would hang">
      <h3 className="railname">
        {total > panels.length ? `The first ${panels.length} of ${countOf(total, 'panel')}` : countOf(total, 'panel')}
      </h3>
      {panels.some(({ draft }) => draft.layers.some(({ kind }) => kind === 'ground' || kind === 'clear')) ? (
        <p className="fine">
          {`How many coats ground and clear got is seldom written: they are put down as ${usualCoats} each, as in a new panel.`}
        </p>
      ) : null}
      <ul>
        {panels.map((panel) => (
          <HangingRow key={panel.row} panel={panel} />
        ))}
      </ul>
    </section>
  )
}

function HangingRow({ panel: { row, draft, colours, waiting } }: { panel: NotebookPanel }) {
  const settings = useStore((s) => s.settings)
  const candy = draft.layers.find((layer) => layer.kind === 'candy')
  const formula = candy?.mixture ? formulaInWords(candy.mixture, { decimal: decimalSign(settings) }).join('; ') : ''
  const candies = draft.layers.flatMap((layer) => namesWithin(layer.mixture, ['concentrate']))
  return (
    <li className="notebook-card">
      <span className="notebook-bands">
        {draft.steps.slice(0, 8).map(({ coats }) => (
          <span key={coats} className="notebook-band">
            <Strokes coats={coats} />
            <Paint
              lab={colours.find((colour) => colour.coats === coats)?.lab ?? null}
              label={`${draft.code ?? 'new code'}, ${coatsInWords(coats)}`}
            />
          </span>
        ))}
      </span>
      <span>
        <b className="num">{draft.code ?? 'new code'}</b> <span className="fine num">{`row ${row}`}</span>
      </span>
      <span>{draft.title || candies.join(' + ') || '—'}</span>
      <span className="fine">{buildInWords(draft)}</span>
      {formula === '' ? null : <span className="fine">{formula}</span>}
      <span className="fine">{circumstances(draft, waiting)}</span>
    </li>
  )
}

/** "over bright silver, 2–4 coats, cleared with gloss clear" */
function buildInWords({ layers, steps }: PanelDraft): string {
  const named = (kind: Layer['kind']) => layers.find((layer) => layer.kind === kind)
  const words: string[] = []
  const ground = named('ground')
  if (ground) words.push(`over ${ground.name}`)
  const coats = steps.map((step) => step.coats)
  words.push(named('candy') ? coatRange(Math.min(...coats), Math.max(...coats)) : 'no candy')
  const mid = named('mid-coat')
  if (mid) words.push(`mid coat ${mid.name}`)
  const clear = named('clear')
  words.push(clear ? `cleared${clear.name === '' ? '' : ` with ${clear.name}`}` : 'not cleared')
  return words.join(', ')
}

function circumstances({ sprayedOn, sprayedBy, status }: PanelDraft, waiting: boolean): string {
  const words = [sprayedOn ?? '', sprayedBy, status === 'sprayed' ? '' : status, waiting ? 'waits for an answer' : '']
  return words.filter(Boolean).join(', ')
}

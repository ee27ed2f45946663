import { noFilter, type PanelSummary } from '../../../../shared-core/records/panel.ts'
import { bestReading } from '../../../parts/best-reading.ts'
import { act, useAnswer } from '../../../state/asking.ts'
import { setPlan } from '../../../state/plan.ts'
import { useStore } from '../../../state/store.ts'
import { ofReading } from './use-reference.ts'

/** Panels that are offered, the newest first. */
const mostPanels = 12

/** References first, then the panels that were read last. */
export function ChooseReference({ referenceId, name }: { referenceId: string | null; name: string | null }) {
  const references = useAnswer('references.list', {}).value?.references ?? []
  const panels = useAnswer('panels.list', { filter: noFilter, sort: 'date', limit: 5 * mostPanels }).value?.panels ?? []
  const recent = panels.filter(hasReading).slice(0, mostPanels)
  const listed = references.some(({ id }) => id === referenceId)
  return (
    <label className="field">
      <span>Suggest for</span>
      <select className="select" value={referenceId ?? ''} onChange={(event) => void choose(event.target.value)}>
        <option value="">choose a colour</option>
        {referenceId !== null && !listed ? <option value={referenceId}>{name || 'the one chosen'}</option> : null}
        {references.length > 0 ? (
          <optgroup label="References">
            {references.map((reference) => (
              <option key={reference.id} value={reference.id}>
                {reference.name}
              </option>
            ))}
          </optgroup>
        ) : null}
        {recent.length > 0 ? (
          <optgroup label="Panels, the newest first">
            {recent.map((panel) => (
              <option key={panel.id} value={`panel ${panel.code}`}>
                {`${panel.code} ${panel.title}`.trim()}
              </option>
            ))}
          </optgroup>
        ) : null}
      </select>
    </label>
  )
}

const hasReading = (panel: PanelSummary): boolean => panel.bands.some(({ lab }) => lab !== null)

async function choose(value: string): Promise<void> {
  if (!value.startsWith('panel ')) {
    setPlan({ referenceId: value || null })
    return
  }
  const found = await act('panels.get', { key: value.slice('panel '.length) })
  const best = found && bestReading(found.readings, found.panel.steps)
  if (best) setPlan({ referenceId: `${ofReading}${best.id}` })
  else if (found) useStore.getState().say(`${found.panel.code} has no reading yet.`, 'Photograph it first.')
}

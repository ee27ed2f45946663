import { noFilter, type PanelSummary } from '../../../../shared-core/records/panel.ts'
import { printSprayList } from '../../../commands/plan/print-spray-list.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { stepsInWords } from '../../../parts/film/film-words.ts'
import { PanelLink } from '../../../parts/place-link.tsx'
import { useAnswer } from '../../../state/asking.ts'

/** Panels that are planned and not sprayed yet. */
export function usePlanned(): readonly PanelSummary[] {
  const { value } = useAnswer('panels.list', { filter: { ...noFilter, status: 'planned' }, sort: 'code' })
  return value?.panels ?? none
}
const none: readonly PanelSummary[] = []

/** "over gold, a bare strip, 2 and 4 coats" */
export const plannedInWords = ({ ground, bands }: PanelSummary): string =>
  [...(ground === null ? [] : [`over ${ground}`]), stepsInWords(bands.map(({ coats }) => coats))].join(', ')

/** The list: what is to be sprayed, and the paper to spray it from. */
export function Planned({ planned }: { planned: readonly PanelSummary[] }) {
  return (
    <section className="block plan-planned" aria-label="The list">
      <h2>{planned.length === 0 ? 'The list' : `The list, ${planned.length} to spray`}</h2>
      {planned.length === 0 ? (
        <p>Nothing is planned yet. “Put on the list” makes a planned panel of a cell, a suggestion or the table.</p>
      ) : (
        <>
          <ul>
            {planned.map((panel) => (
              <li key={panel.id}>
                <PanelLink code={panel.code} /> {panel.title}
                <span className="fine">{plannedInWords(panel)}</span>
              </li>
            ))}
          </ul>
          <CommandButton command={printSprayList} />
        </>
      )}
    </section>
  )
}

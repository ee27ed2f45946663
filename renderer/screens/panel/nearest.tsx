import type { Match } from '../../../shared-core/records/match.ts'
import { type Band, noFilter, type Panel } from '../../../shared-core/records/panel.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { Paint } from '../../parts/lab-swatch.tsx'
import { PlaceLink } from '../../parts/place-link.tsx'
import { sayBound, sayNumber } from '../../parts/say-numbers.ts'
import { coatsInWords } from '../../parts/strokes.tsx'
import { useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'

/** A panel's own steps and several steps of one neighbour come first in the list: enough to reach three other panels. */
const asked = 60

/** The three panels nearest to one reading, touching it. */
export function Nearest({ panel, reading, bands }: { panel: Panel; reading: Reading; bands: Band[] }) {
  const settings = useStore((s) => s.settings)
  const { value } = useAnswer('match.findNearest', {
    to: { readingId: reading.id },
    filter: noFilter,
    readings: { view: reading.view, lightId: null },
    limit: asked,
  })
  const coats = panel.steps.find((step) => step.id === reading.stepId)?.coats ?? 0
  const near = nearestPanels(value?.matches ?? [], panel.id)
  const own = bands.find((band) => band.stepId === reading.stepId)
  if (!value) return null
  return (
    <div className="block">
      <h3>{`Near it, ${coats === 0 ? 'bare' : `at ${coatsInWords(coats)}`}`}</h3>
      {near.length === 0 ? (
        <p className="fine">No other panel has a reading in this view yet.</p>
      ) : (
        <div className="panel-near">
          <div className="panel-near-paint">
            <Paint lab={reading.lab} cut={reading.cut ?? own?.cut ?? null} label={`${panel.code} itself`} />
            <div>
              {near.map((match) => (
                <Paint
                  key={match.panel.id}
                  lab={match.combined?.lab ?? match.reading.lab}
                  cut={match.reading.cut}
                  label={`${match.panel.code}, ${coatsInWords(match.coats)}`}
                />
              ))}
            </div>
          </div>
          <ul>
            {near.map((match) => (
              <li key={match.panel.id}>
                <PlaceLink to={{ at: 'panel', key: match.panel.code }}>
                  <span>
                    <b className="num">{match.panel.code}</b> {match.panel.title}, {coatsInWords(match.coats)}
                  </span>
                  <span className="fine">
                    {`${sayNumber(match.de00, 1, settings)} ± ${sayBound(match.bound90, settings)}, ${match.couldBeSame ? 'could be the same; ' : ''}${match.words}`}
                  </span>
                </PlaceLink>
              </li>
            ))}
          </ul>
        </div>
      )}
      <p className="fine">Screen preview: judge panel against part under the customer’s light.</p>
    </div>
  )
}

/** The nearest step of each other panel, nearest first. */
function nearestPanels(matches: readonly Match[], itself: string): Match[] {
  const seen = new Set([itself])
  return matches.filter(({ panel }) => !seen.has(panel.id) && seen.add(panel.id)).slice(0, 3)
}

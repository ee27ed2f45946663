import { useMemo } from 'react'
import { differenceCiede2000 } from '../../../../shared-core/colour/difference.ts'
import type { Lab } from '../../../../shared-core/colour/lab.ts'
import { describeDifference } from '../../../../shared-core/colour/words.ts'
import type { Output } from '../../../../shared-core/contract/calls.ts'
import { type Band, noFilter, type PanelSummary } from '../../../../shared-core/records/panel.ts'
import { TwoPaints } from '../../../parts/film/two-paints.tsx'
import { PanelLink } from '../../../parts/place-link.tsx'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { usePanelsBy } from '../../../state/panels-by.ts'
import { useStore } from '../../../state/store.ts'

const mostNear = 4

type Near = { panel: PanelSummary; band: Band; lab: Lab; de00: number }

/** The panels nearest to a colour that nobody sprayed: each by its nearest step. */
export function NearOnRack({ lab, bound90 }: { lab: Lab; bound90: number }) {
  const settings = useStore((s) => s.settings)
  const { value } = useAnswer('panels.colours', { filter: noFilter })
  const ids = useMemo(() => (value ? nearestIds(lab, value) : []), [value, lab])
  const panels = usePanelsBy({ ids })
  const near = useMemo(() => nearestTo(lab, panels), [lab, panels])
  if (!value) return <p aria-busy="true">Looking…</p>
  if (ids.length === 0) return <p>No panel of this rack has been read yet.</p>
  return (
    <div>
      <p className="fine">Nearest on the rack, seen against the prediction</p>
      <ul className="plan-nears">
        {near.map(({ panel, band, lab: read, de00 }) => (
          <li key={band.stepId}>
            <TwoPaints left={{ lab, label: 'Predicted' }} right={{ lab: read, cut: band.cut, label: panel.code }} />
            <p>
              <PanelLink code={panel.code} /> {panel.title},{' '}
              {[panel.ground, coatsInWords(band.coats)].filter(Boolean).join(', ')}
              <br />
              <span className="fine">
                {`${sayNumber(de00, 1, settings)} ± ${sayBound(Math.hypot(bound90, band.bound90 ?? 0), settings)}, ${describeDifference(lab, read).toLowerCase()}`}
              </span>
            </p>
          </li>
        ))}
      </ul>
    </div>
  )
}

/** Ids of the panels whose nearest step is nearest. */
function nearestIds(lab: Lab, { panels, steps }: Output<'panels.colours'>): string[] {
  const least = new Map<number, number>()
  for (const [row, panel] of steps.panel.entries()) {
    const de00 = differenceCiede2000(lab, { l: steps.l[row]!, a: steps.a[row]!, b: steps.b[row]! })
    least.set(panel, Math.min(least.get(panel) ?? Number.POSITIVE_INFINITY, de00))
  }
  return [...least]
    .toSorted(([, a], [, b]) => a - b)
    .slice(0, mostNear)
    .map(([panel]) => panels.ids[panel]!)
}

function nearestTo(lab: Lab, panels: readonly PanelSummary[], count = mostNear): Near[] {
  return panels
    .flatMap((panel): Near[] => {
      const own = panel.bands.flatMap((band) =>
        band.lab ? [{ panel, band, lab: band.lab, de00: differenceCiede2000(lab, band.lab) }] : [],
      )
      return own.toSorted((a, b) => a.de00 - b.de00).slice(0, 1)
    })
    .toSorted((a, b) => a.de00 - b.de00)
    .slice(0, count)
}

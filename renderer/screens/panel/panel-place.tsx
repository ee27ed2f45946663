import './panel.css'
import { useEffect, useMemo, useState } from 'react'
import type { Output } from '../../../shared-core/contract/calls.ts'
import { bestReading } from '../../parts/best-reading.ts'
import { Caution } from '../../parts/caution.tsx'
import { useAnswer } from '../../state/asking.ts'
import { closeSheet, usePlanSheet } from '../../state/plan-dialog.ts'
import { goBack } from '../../state/router.ts'
import { SprayListSheet } from '../plan/sheets/spray-list-sheet.tsx'
import { Build } from './build/build.tsx'
import { HowItWentOn } from './build/how-it-went-on.tsx'
import { Nearest } from './nearest.tsx'
import { PanelHistory } from './panel-history.tsx'
import { PanelPhotos } from './panel-photos.tsx'
import { PanelTitle } from './panel-title.tsx'
import { PredictedSteps } from './predicted/predicted-steps.tsx'
import { groupReadings } from './readings/reading-groups.ts'
import { Readings } from './readings/readings.tsx'
import { ViewsSideBySide } from './views/views-side-by-side.tsx'

/** One panel: its photos, its build, its readings. @param panelKey id or code */
export function PanelPlace({ panelKey }: { panelKey: string }) {
  const { value, error } = useAnswer('panels.get', { key: panelKey })
  if (error)
    return (
      <main className="panel-absent">
        <Caution message={error.message} remedy={error.remedy} />
        <button type="button" className="btn" onClick={() => goBack({ at: 'rack' })}>
          Back to the rack
        </button>
      </main>
    )
  if (!value) return <main className="panel-absent" aria-busy="true" />
  return <ShownPanel shown={value} />
}

function ShownPanel({ shown }: { shown: Output<'panels.get'> }) {
  const { panel, summary, readings, photos } = shown
  const [chosenId, setChosenId] = useState<string | null>(null)
  const chosen = readings.find((reading) => reading.id === chosenId) ?? null
  const groups = useMemo(() => groupReadings(readings, panel.steps), [readings, panel.steps])
  const isUnsprayed = panel.status === 'planned' && readings.length === 0
  const judged = chosen ?? bestReading(readings, panel.steps)
  return (
    <main className="panel-place scroll">
      <PanelTitle panel={panel} summary={summary} />
      <div className="panel-columns">
        <div className="panel-first">
          {isUnsprayed ? <PredictedSteps panel={panel} /> : null}
          <PanelPhotos panel={panel} photos={photos} readings={readings} />
          <ViewsSideBySide groups={groups} chosenId={chosenId} onChoose={setChosenId} />
        </div>
        <section aria-label="Build">
          <Build panel={panel} bands={summary.bands} />
          <HowItWentOn layers={panel.layers} />
          {panel.notes.trim() === '' ? null : (
            <div className="block panel-notes">
              <h3>Notes</h3>
              <p>{panel.notes}</p>
            </div>
          )}
        </section>
        <section aria-label="Readings">
          <Readings panel={panel} groups={groups} photos={photos} chosen={chosen} onChoose={setChosenId} />
          {judged ? <Nearest panel={panel} reading={judged} bands={summary.bands} /> : null}
          <PanelHistory panelId={panel.id} />
        </section>
      </div>
      {panel.status === 'planned' ? <SprayList panelId={panel.id} /> : null}
    </main>
  )
}

/** Lies over the place while it is open, and does not outlive it. */
function SprayList({ panelId }: { panelId: string }) {
  const isOpen = usePlanSheet((s) => s.open === 'spray-list')
  useEffect(() => closeSheet, [])
  return isOpen ? <SprayListSheet only={panelId} /> : null
}

import { useEffect } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { useKeyboard } from './commands/keyboard.ts'
import { Bar } from './frame/bar.tsx'
import { Boundary } from './frame/boundary.tsx'
import { GaveUp } from './frame/broken.tsx'
import { JobOutcomes } from './frame/job-outcomes.tsx'
import { Notices } from './frame/notices.tsx'
import { Restoring, useRestoring } from './screens/care/backups/restoring.tsx'
import { CarePlace } from './screens/care/care-place.tsx'
import { ExportDialog } from './screens/instrument/export-dialog.tsx'
import { InstrumentDialog } from './screens/instrument/instrument-dialog.tsx'
import { JobsPlace } from './screens/jobs/jobs-place.tsx'
import { ConsiderDialog } from './screens/jobs/list/consider-dialog.tsx'
import { NewJobDialog } from './screens/jobs/list/new-job-dialog.tsx'
import { MatchPlace } from './screens/match/match-place.tsx'
import { MixPlace } from './screens/mix/mix-place.tsx'
import { NotebookDialog } from './screens/notebook/notebook-dialog.tsx'
import { NotebookDrop } from './screens/notebook/notebook-drop.tsx'
import { PanelPlace } from './screens/panel/panel-place.tsx'
import { PanelForm } from './screens/panel-form/panel-form.tsx'
import { PlanPlace } from './screens/plan/plan-place.tsx'
import { RackPlace } from './screens/rack/rack-place.tsx'
import { SettingsPlace } from './screens/settings/settings-place.tsx'
import { PrintDialog } from './screens/sheet/print-dialog.tsx'
import { PrintPages } from './screens/sheet/print-pages.tsx'
import { ShelfPlace } from './screens/shelf/shelf-place.tsx'
import { SidePlace } from './screens/side/side-place.tsx'
import { PhoneDialog } from './screens/tray/phone/phone-dialog.tsx'
import { TrayPlace } from './screens/tray/tray-place.tsx'
import { WatchedDialog } from './screens/tray/watched/watched-dialog.tsx'
import { Welcome } from './screens/welcome/welcome.tsx'
import { pathOf, type Route } from './state/router.ts'
import { useStore } from './state/store.ts'
import { useTrouble } from './state/trouble.ts'

export function App() {
  const [route, rack, theme] = useStore(useShallow((s) => [s.route, s.rack, s.settings.theme]))
  const gaveUp = useTrouble((s) => s.gaveUp)
  const restoring = useRestoring()
  useTheme(theme)
  useKeyboard()
  if (route.at === 'print-labels') return <PrintPages />
  if (rack === undefined) return gaveUp ? <GaveUp {...gaveUp} /> : null
  return (
    <>
      <Bar />
      <Boundary of="place" now={pathOf(route)}>
        {rack === null && restoring ? (
          <Restoring job={restoring} />
        ) : rack === null && route.at !== 'settings' ? (
          <Welcome />
        ) : (
          <Place route={route} />
        )}
      </Boundary>
      {gaveUp ? <GaveUp {...gaveUp} /> : null}
      <Notices />
      <JobOutcomes />
      <PrintDialog />
      <InstrumentDialog />
      <ExportDialog />
      <NotebookDialog />
      <NotebookDrop />
      <PhoneDialog />
      <WatchedDialog />
      <NewJobDialog />
      <ConsiderDialog />
    </>
  )
}

function Place({ route }: { route: Exclude<Route, { at: 'print-labels' }> }) {
  switch (route.at) {
    case 'rack':
      return <RackPlace />
    case 'panel':
      return <PanelPlace key={route.key} panelKey={route.key} />
    case 'panel-form':
      return <PanelForm key={route.key} panelKey={route.key} />
    case 'tray':
      return <TrayPlace photoId={route.photoId} />
    case 'match':
      return <MatchPlace referenceId={route.referenceId} table={route.table} />
    case 'side':
      return <SidePlace items={route.items} how={route.how} />
    case 'plan':
      return <PlanPlace formula={route.formula} referenceId={route.referenceId} />
    case 'mix':
      return <MixPlace cupId={route.cupId} from={route.from} />
    case 'jobs':
      return <JobsPlace jobKey={route.key} />
    case 'shelf':
      return <ShelfPlace materialId={route.materialId} />
    case 'settings':
      return <SettingsPlace />
    case 'care':
      return <CarePlace page={route.page} />
  }
}

/** `system` follows the computer, also while the page is open. */
function useTheme(theme: 'system' | 'bench' | 'office') {
  useEffect(() => {
    const light = matchMedia('(prefers-color-scheme: light)')
    const set = () => {
      document.documentElement.dataset.theme = theme === 'system' ? (light.matches ? 'office' : 'bench') : theme
    }
    set()
    light.addEventListener('change', set)
    return () => light.removeEventListener('change', set)
  }, [theme])
}

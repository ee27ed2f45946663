import { exportReadings } from '../../commands/rack/export-readings.ts'
import { letGo } from '../../commands/rack/let-go.ts'
import { printChosenLabels } from '../../commands/rack/print-labels.ts'
import { retireChosen } from '../../commands/rack/retire-chosen.ts'
import { trashChosen } from '../../commands/rack/trash-chosen.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { useStore } from '../../state/store.ts'
import { chooseBetween, type Hook } from './arrange.ts'

/** What is chosen, and what can be done with it. */
export function ChosenBar({ hooks }: { hooks: readonly Hook[] }) {
  const chosen = useStore((s) => s.chosen)
  const setView = useStore((s) => s.setView)
  if (chosen.length === 0) return null
  const inSight = new Set(hooks.map((hook) => hook.panel.id))
  const hidden = chosen.filter((id) => !inSight.has(id)).length
  const all = chooseBetween(chosen, hooks, 0, hooks.length - 1)
  return (
    <footer className="rack-chosen">
      <p className="lead" role="status">
        <b>{chosen.length === 1 ? '1 panel' : `${chosen.length} panels`}</b> chosen
        {hidden > 0 ? `, ${hidden} not shown` : ''}
      </p>
      <CommandButton command={printChosenLabels} look="main" />
      <CommandButton command={exportReadings} />
      <CommandButton command={retireChosen} />
      <CommandButton command={trashChosen} />
      {all.length > chosen.length ? (
        <button type="button" className="btn" onClick={() => setView({ chosen: all })}>
          Choose all {hooks.length}
        </button>
      ) : null}
      <span className="push" />
      <CommandButton command={letGo} look="plain" />
    </footer>
  )
}

import type { Panel, PanelSummary } from '../../../shared-core/records/panel.ts'
import { considerPanel } from '../../commands/panel/consider-panel.ts'
import { editPanel } from '../../commands/panel/edit-panel.ts'
import { findNear } from '../../commands/panel/find-near.ts'
import { mixThis } from '../../commands/panel/mix-this.ts'
import { pinPanel } from '../../commands/panel/pin-panel.ts'
import { planFromIt } from '../../commands/panel/plan-from-it.ts'
import { printLabel } from '../../commands/panel/print-label.ts'
import { trashPanel } from '../../commands/panel/trash-panel.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { ArrowBack } from '../../parts/icons.tsx'
import { sayDay } from '../../parts/say-numbers.ts'
import { usePinned } from '../../state/pins.ts'
import { goBack } from '../../state/router.ts'

/** Code and title, what is known at a glance, what can be done. */
export function PanelTitle({ panel, summary }: { panel: Panel; summary: PanelSummary }) {
  return (
    <header className="panel-title">
      <button type="button" className="btn" onClick={() => goBack({ at: 'rack' })}>
        <ArrowBack />
        Back
      </button>
      <div className="panel-name">
        <h1 className="title">
          <b className="num">{panel.code}</b> {panel.title}
        </h1>
        <p className="fine">{factsOf(panel, summary).join(' · ')}</p>
      </div>
      <div className="panel-acts">
        <CommandButton command={trashPanel} look="plain" />
        <CommandButton command={editPanel} />
        <CommandButton command={printLabel} />
        <CommandButton command={considerPanel} />
        <CommandButton command={mixThis} />
        <CommandButton command={planFromIt} />
        <PinButton />
        <CommandButton command={findNear} look="main" />
      </div>
    </header>
  )
}

/** Again when something is pinned or its pin taken out. */
function PinButton() {
  usePinned()
  return <CommandButton command={pinPanel} />
}

function factsOf(panel: Panel, summary: PanelSummary): string[] {
  const when = panel.sprayedOn ? ` ${sayDay(panel.sprayedOn)}` : ''
  const who = panel.sprayedBy ? ` by ${panel.sprayedBy}` : ''
  const sprayed = panel.status === 'planned' ? 'Planned' : `Sprayed${when}${who}`
  return [
    panel.status === 'retired' ? 'Retired' : '',
    sprayed,
    panel.substrate,
    summary.cleared ? 'cleared' : 'no clear',
    panel.tags.length > 0 ? `tagged ${panel.tags.join(', ')}` : '',
  ].filter(Boolean)
}

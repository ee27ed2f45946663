import './chosen.css'
import { useMemo } from 'react'
import { panelsInWords } from '../../../commands/chosen/change-many.ts'
import { changeTags } from '../../../commands/chosen/change-tags.ts'
import { chooseAll } from '../../../commands/chosen/choose-all.ts'
import { layChosenSideBySide } from '../../../commands/chosen/lay-side-by-side.ts'
import { letGo } from '../../../commands/chosen/let-go.ts'
import { pinChosen } from '../../../commands/chosen/pin-chosen.ts'
import { printChosenLabels } from '../../../commands/chosen/print-labels.ts'
import { retireChosen } from '../../../commands/chosen/retire-chosen.ts'
import { setGround } from '../../../commands/chosen/set-ground.ts'
import { trashChosen } from '../../../commands/chosen/trash-chosen.ts'
import { useChosenAgain } from '../../../commands/chosen/use-again.ts'
import { exportReadings } from '../../../commands/rack/export-readings.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { CommandMenu } from '../../../parts/command-menu.tsx'
import { countInWords } from '../../../parts/say-numbers.ts'
import type { RackOrder } from '../../../state/rack-order.ts'
import { useStore } from '../../../state/store.ts'

const more = [pinChosen, retireChosen, useChosenAgain, exportReadings, trashChosen]

/** What is chosen, also of what the words hide, and what can be done with it. */
export function ChosenBar({ order }: { order: RackOrder }) {
  const chosen = useStore((s) => s.chosen)
  const choosing = useStore((s) => s.choosing)
  const onWall = useStore((s) => s.rackView === 'wall')
  const hidden = useMemo(() => chosen.filter((id) => !order.placeOf.has(id)).length, [chosen, order.placeOf])
  if (chosen.length === 0 && !choosing) return null
  const all = order.ids.length > chosen.length - hidden ? <CommandButton command={chooseAll} /> : null
  if (chosen.length === 0)
    return (
      <footer className="rack-chosen">
        <p className="lead" role="status">
          {onWall
            ? 'Press panels to choose them, or drag a frame around them.'
            : 'Press panels to choose them, or drag a loop around them.'}
        </p>
        {all}
        <span className="push" />
        <CommandButton command={letGo} look="plain" />
      </footer>
    )
  return (
    <footer className="rack-chosen">
      <p className="lead" role="status">
        <b>{panelsInWords(chosen.length)}</b> chosen
        {hidden > 0 ? `, ${countInWords(hidden)} not shown` : ''}
      </p>
      <CommandButton command={layChosenSideBySide} look={chosen.length > 1 && chosen.length < 7 ? 'main' : ''} />
      <CommandButton command={printChosenLabels} />
      <CommandButton command={changeTags} />
      <CommandButton command={setGround} />
      <CommandMenu label="More" commands={more} />
      {all}
      <span className="push" />
      <CommandButton command={letGo} look="plain" />
    </footer>
  )
}

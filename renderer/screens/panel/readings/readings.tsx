import { ChangeButton } from '../../../parts/change-only.tsx'
import './readings.css'
import { useState } from 'react'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { exportPanelReadings } from '../../../commands/panel/export-readings.ts'
import { laySteps } from '../../../commands/panel/lay-steps.ts'
import { readInstrument } from '../../../commands/panel/read-instrument.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { stageInWords, viewInWords } from '../../../parts/views-in-words.ts'
import { useStore } from '../../../state/store.ts'
import { AddTyped } from './add-typed.tsx'
import { leftOutInWords, useFilmDoubts } from './film-doubts.ts'
import { GroupTable } from './group-table.tsx'
import { type ReadingGroup, readingsOf } from './reading-groups.ts'

type Props = {
  panel: Panel
  groups: ReadingGroup[]
  photos: Photo[]
  chosen: Reading | null
  onChoose: (id: string | null) => void
}

/** The figures by view and light, each with how far it can be trusted; one can be opened. */
export function Readings({ panel, groups, photos, chosen, onChoose }: Props) {
  const [typing, setTyping] = useState(false)
  const [opened, setOpened] = useState<Readonly<Record<string, boolean>>>({})
  const isPlanned = panel.status === 'planned'
  const { suspects, leftOut } = useFilmDoubts(panel.id, groups.length > 0 && !isPlanned)
  const readSteps = new Set(groups.flatMap(readingsOf).flatMap(({ stepId }) => stepId ?? []))
  const table = (group: ReadingGroup) => (
    <GroupTable group={group} photos={photos} suspects={suspects} chosenId={chosen?.id ?? null} onChoose={onChoose} />
  )
  const holdsChosen = (group: ReadingGroup) => readingsOf(group).some((reading) => reading.id === chosen?.id)
  // what does not fit is in sight until somebody puts it away
  const holdsSuspect = (group: ReadingGroup) =>
    readingsOf(group).some(({ id }) => suspects.some(({ readingId }) => readingId === id))
  const setOpen = (group: ReadingGroup, open: boolean) => {
    if (open !== (opened[group.key] ?? holdsSuspect(group))) setOpened({ ...opened, [group.key]: open })
    if (!open && holdsChosen(group)) onChoose(null)
  }
  return (
    <div className="panel-readings">
      <h2 className="railname">Readings</h2>
      {groups.length === 0 ? (
        <p>
          No colour has been read yet. A photo with the grey card in it gives one; an instrument’s come from its file,
          or are typed.
        </p>
      ) : null}
      {groups.map((group, place) =>
        place === 0 ? (
          <div key={group.key}>
            <GroupName group={group} />
            {table(group)}
          </div>
        ) : (
          <details
            key={group.key}
            className="panel-more"
            open={(opened[group.key] ?? holdsSuspect(group)) || holdsChosen(group)}
            onToggle={(event) => setOpen(group, event.currentTarget.open)}
          >
            <summary>
              <GroupName group={group} />
            </summary>
            {table(group)}
          </details>
        ),
      )}
      {leftOutInWords(leftOut, panel.steps, readSteps).map((words) => (
        <p key={words} className="fine">
          {words}
        </p>
      ))}
      <div className="panel-reading-acts">
        <CommandButton command={laySteps} />
        <CommandButton command={readInstrument} />
        <ChangeButton type="button" className="btn" onClick={() => setTyping(true)}>
          Add a typed colour
        </ChangeButton>
        <CommandButton command={exportPanelReadings} look="plain" />
      </div>
      {typing ? <AddTyped panel={panel} onClose={() => setTyping(false)} /> : null}
    </div>
  )
}

/** What all readings of a table have in common. */
function GroupName({ group }: { group: ReadingGroup }) {
  const light = useStore((s) => s.lights.find((one) => one.id === group.lightId)?.name ?? 'light not named')
  const readings = readingsOf(group)
  const photos = new Set(readings.flatMap(({ photoId }) => (photoId === null ? [] : [photoId]))).size
  const count = readings.length === 1 ? '1 reading' : `${readings.length} readings`
  return (
    <span className="panel-group-name">
      <b>{`${viewInWords[group.view]}, ${light}, ${stageInWords[group.stage]}`}</b>
      <span className="fine">
        {`${count}${photos > 1 ? ` from ${photos} photos` : ''}, Lab, ${group.illuminant}, ${group.observer}°`}
      </span>
    </span>
  )
}

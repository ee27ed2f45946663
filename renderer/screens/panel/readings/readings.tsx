import './readings.css'
import { useState } from 'react'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { sayNumber } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { stageInWords, viewInWords } from '../../../parts/views-in-words.ts'
import { useStore } from '../../../state/store.ts'
import { AddTyped } from './add-typed.tsx'
import { ReadingDetail } from './reading-detail.tsx'
import { groupReadings, type ReadingGroup } from './reading-groups.ts'

type Props = {
  panel: Panel
  readings: Reading[]
  photos: Photo[]
  chosen: Reading | null
  onChoose: (id: string | null) => void
}

/** Readings by view and light, each with how far it can be trusted; one can be opened. */
export function Readings({ panel, readings, photos, chosen, onChoose }: Props) {
  const [typing, setTyping] = useState(false)
  const groups = groupReadings(readings, panel.steps)
  return (
    <div className="panel-readings">
      <h2 className="railname">Readings</h2>
      {groups.length === 0 ? (
        <p>
          No colour has been read yet. A photo with the grey card in it gives one; an instrument’s figures can be typed.
        </p>
      ) : null}
      {groups.map((group, place) => {
        const table = <GroupTable group={group} photos={photos} chosen={chosen} onChoose={onChoose} />
        if (place === 0)
          return (
            <div key={group.key}>
              <GroupName group={group} />
              {table}
            </div>
          )
        return (
          <details key={group.key} className="panel-more">
            <summary>
              <GroupName group={group} />
            </summary>
            {table}
          </details>
        )
      })}
      <button type="button" className="btn" onClick={() => setTyping(true)}>
        Add a typed colour
      </button>
      {typing ? <AddTyped panel={panel} onClose={() => setTyping(false)} /> : null}
    </div>
  )
}

/** What all readings of a table have in common. */
function GroupName({ group }: { group: ReadingGroup }) {
  const light = useStore((s) => s.lights.find((one) => one.id === group.lightId)?.name ?? 'light not named')
  const count = group.rows.length === 1 ? '1 reading' : `${group.rows.length} readings`
  return (
    <span className="panel-group-name">
      <b>{`${viewInWords[group.view]}, ${light}, ${stageInWords[group.stage]}`}</b>
      <span className="fine">{`${count}, Lab, ${group.illuminant}, ${group.observer}°`}</span>
    </span>
  )
}

type GroupProps = {
  group: ReadingGroup
  photos: Photo[]
  chosen: Reading | null
  onChoose: (id: string | null) => void
}

function GroupTable({ group, photos, chosen, onChoose }: GroupProps) {
  const settings = useStore((s) => s.settings)
  return (
    <table className="panel-table">
      <thead>
        <tr>
          <th scope="col">Coats</th>
          <th scope="col">L</th>
          <th scope="col">a</th>
          <th scope="col">b</th>
          <th scope="col">± dE00</th>
        </tr>
      </thead>
      <tbody>
        {group.rows.map(({ reading, coats }) => {
          const open = chosen?.id === reading.id
          return [
            <tr key={reading.id} className={open ? 'is-open' : ''} onClick={() => onChoose(open ? null : reading.id)}>
              <td>
                <button
                  type="button"
                  className="panel-open-reading"
                  aria-expanded={open}
                  aria-label={`${coatsInWords(coats)}: what this reading is made of`}
                  onClick={(event) => {
                    event.stopPropagation()
                    onChoose(open ? null : reading.id)
                  }}
                >
                  <Strokes coats={coats} />
                  <span>{coats === 0 ? 'bare' : coats}</span>
                </button>
              </td>
              <td>{sayNumber(reading.lab.l, 1, settings)}</td>
              <td>{sayNumber(reading.lab.a, 1, settings)}</td>
              <td>{sayNumber(reading.lab.b, 1, settings)}</td>
              <td>{sayNumber(reading.bound90, 1, settings)}</td>
            </tr>,
            open ? (
              <tr key={`${reading.id} detail`} className="panel-detail-row">
                <td colSpan={5}>
                  <ReadingDetail
                    reading={reading}
                    photo={photos.find((photo) => photo.id === reading.photoId) ?? null}
                    onClose={() => onChoose(null)}
                  />
                </td>
              </tr>
            ) : null,
          ]
        })}
      </tbody>
    </table>
  )
}

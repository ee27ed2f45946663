import { Fragment, useEffect, useRef } from 'react'
import type { Suspect } from '../../../../shared-core/records/film.ts'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import { Triangle } from '../../../parts/icons.tsx'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { useStore } from '../../../state/store.ts'
import { Misfit } from './misfit.tsx'
import { ReadingDetail } from './reading-detail.tsx'
import { commonWarnings, type ReadingGroup, type ReadingRow, speaksFor, warningsOf } from './reading-groups.ts'
import { RepeatedDetail } from './repeated-detail.tsx'
import { repeatedInWords, sourceInTable } from './source-words.ts'

type Props = {
  group: ReadingGroup
  photos: Photo[]
  suspects: readonly Suspect[]
  chosenId: string | null
  onChoose: (id: string | null) => void
}

/** The steps of one view, light and stage: a row each, several readings of a step as their mean. */
export function GroupTable({ group, photos, suspects, chosenId, onChoose }: Props) {
  const common = commonWarnings(group)
  const isCommon = (code: string) => common.some((caution) => caution.code === code)
  return (
    <>
      {common.map((caution) => (
        <p key={caution.code} className="panel-row-warn">
          <Triangle />
          {`All steps: ${caution.message}`}
        </p>
      ))}
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
          {group.rows.map((row) => {
            const open = row.readings.some((reading) => reading.id === chosenId)
            const words = [repeatedInWords(row), sourceInTable(row, group, photos)].filter((text) => text !== null)
            const warnings = open ? [] : warningsOf(row).filter(({ code }) => !isCommon(code))
            const misfits = suspects.filter((each) => row.readings.some(({ id }) => id === each.readingId))
            const toggle = () => onChoose(open ? null : speaksFor(row).id)
            return (
              <Fragment key={row.key}>
                <FigureRow row={row} open={open} hasNote={words.length + warnings.length > 0} onToggle={toggle} />
                {words.length + warnings.length > 0 ? (
                  <tr className={`panel-note-row ${open ? 'is-open' : ''}`} onClick={toggle}>
                    <td colSpan={5}>
                      {words.length > 0 ? (
                        <p className={row.combined.disagreement ? 'panel-row-warn' : 'fine'}>
                          {row.combined.disagreement ? <Triangle /> : null}
                          {words.join(', ')}
                        </p>
                      ) : null}
                      {warnings.map((caution) => (
                        <p key={caution.code} className="panel-row-warn">
                          <Triangle />
                          {caution.message}
                        </p>
                      ))}
                    </td>
                  </tr>
                ) : null}
                {misfits.map((suspect) => (
                  <tr key={suspect.readingId} className="panel-misfit-row">
                    <td colSpan={5}>
                      <Misfit
                        suspect={suspect}
                        photoId={row.readings.find(({ id }) => id === suspect.readingId)?.photoId ?? null}
                      />
                    </td>
                  </tr>
                ))}
                {open ? (
                  <tr className="panel-detail-row">
                    <td colSpan={5}>
                      <Detail row={row} photos={photos} onChoose={onChoose} />
                    </td>
                  </tr>
                ) : null}
              </Fragment>
            )
          })}
        </tbody>
      </table>
    </>
  )
}

type RowProps = { row: ReadingRow; open: boolean; hasNote: boolean; onToggle: () => void }

function FigureRow({ row: { coats, readings, combined }, open, hasNote, onToggle }: RowProps) {
  const settings = useStore((s) => s.settings)
  const { lab, bound90 } = combined
  const what = readings.length > 1 ? `what these ${readings.length} readings are` : 'what this reading is'
  return (
    <tr className={`${open ? 'is-open' : ''} ${hasNote ? 'has-note' : ''}`} onClick={onToggle}>
      <td>
        <button
          type="button"
          className="panel-open-reading"
          aria-expanded={open}
          aria-label={`${coatsInWords(coats)}: ${what} made of`}
          onClick={(event) => {
            event.stopPropagation()
            onToggle()
          }}
        >
          <Strokes coats={coats} />
          <span>{coats === 0 ? 'bare' : coats}</span>
        </button>
      </td>
      <td>{sayNumber(lab.l, 1, settings)}</td>
      <td>{sayNumber(lab.a, 1, settings)}</td>
      <td>{sayNumber(lab.b, 1, settings)}</td>
      <td>{sayBound(bound90, settings)}</td>
    </tr>
  )
}

type DetailProps = { row: ReadingRow; photos: Photo[]; onChoose: (id: string | null) => void }

/** Brought into sight, since a reading is also chosen from its swatch. */
function Detail(props: DetailProps) {
  const ref = useRef<HTMLDivElement>(null)
  useEffect(() => {
    // newer browsers answer with a promise, which is no way to clean up
    ref.current?.scrollIntoView?.({ block: 'nearest' })
  }, [])
  return (
    <div ref={ref}>
      <DetailOf {...props} />
    </div>
  )
}

function DetailOf({ row, photos, onChoose }: DetailProps) {
  if (row.readings.length > 1) return <RepeatedDetail row={row} photos={photos} onChoose={onChoose} />
  const [reading] = row.readings
  if (!reading) return null
  const photo = photos.find((one) => one.id === reading.photoId) ?? null
  return <ReadingDetail reading={reading} photo={photo} onClose={() => onChoose(null)} />
}

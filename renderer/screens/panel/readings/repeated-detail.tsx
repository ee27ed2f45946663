import { useState } from 'react'
import type { Outlier } from '../../../../shared-core/capture/combine.ts'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { Triangle } from '../../../parts/icons.tsx'
import { labFigures } from '../../../parts/lab-figures.ts'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { sayBound, sayDay, sayNumber } from '../../../parts/say-numbers.ts'
import { useStore } from '../../../state/store.ts'
import { ReadingDetail } from './reading-detail.tsx'
import type { ReadingRow } from './reading-groups.ts'
import { sourceOf } from './source-words.ts'

type Props = { row: ReadingRow; photos: Photo[]; onChoose: (id: string | null) => void }

/** What several readings of a step come to, and the single ones beneath: each can be opened, outliers say so. */
export function RepeatedDetail({ row, photos, onChoose }: Props) {
  const [openId, setOpenId] = useState<string | null>(null)
  const { readings, combined } = row
  const open = (reading: Reading) => {
    const isOpen = openId === reading.id
    setOpenId(isOpen ? null : reading.id)
    if (!isOpen) onChoose(reading.id)
  }
  return (
    <div className="panel-detail">
      <MadeOf row={row} />
      {/* one below the other, so that their paint touches */}
      <ul className="panel-singles">
        {readings.map((reading) => (
          <li key={reading.id}>
            <Single
              reading={reading}
              source={sourceOf(reading, photos)}
              outlier={combined.outliers.find((one) => one.reading === reading) ?? null}
              isOpen={openId === reading.id}
              onOpen={() => open(reading)}
            />
            {openId === reading.id ? (
              <ReadingDetail
                reading={reading}
                photo={photos.find((photo) => photo.id === reading.photoId) ?? null}
                onClose={() => onChoose(null)}
              />
            ) : null}
          </li>
        ))}
      </ul>
    </div>
  )
}

/** The ± of the mean in words: what averages out with more readings and what does not. */
function MadeOf({ row: { combined } }: { row: ReadingRow }) {
  const settings = useStore((s) => s.settings)
  const say = (value: number) => sayNumber(value, 1, settings)
  const { used, bound90, own, shared, disagreement } = combined
  return (
    <>
      {disagreement ? (
        <div className="warn" role="note">
          <Triangle />
          <p>
            <b>{used.length === 2 ? 'These two disagree: ' : 'These disagree: '}</b>
            {`${say(disagreement.de00)} apart, where ${say(disagreement.expected90)} was to be expected. `}
            {used.length === 2
              ? 'Read the step once more: a third reading tells which one is off.'
              : 'No more than half of them agree. Remove those that went wrong, or read the step again.'}
          </p>
        </div>
      ) : null}
      {used.length === 1 ? null : (
        <p>
          {`Mean of ${used.length}, the surer ones counting more. Its ± of ${sayBound(bound90, settings)} is mostly `}
          {shared > own
            ? `what these readings have alike (${say(shared)}): more of the same kind hardly make it smaller.`
            : `each reading’s own (${say(own)}): more readings make it smaller.`}
        </p>
      )}
    </>
  )
}

type SingleProps = {
  reading: Reading
  source: string
  outlier: Outlier<Reading> | null
  isOpen: boolean
  onOpen: () => void
}

function Single({ reading, source, outlier, isOpen, onOpen }: SingleProps) {
  const settings = useStore((s) => s.settings)
  const say = (value: number) => sayNumber(value, 1, settings)
  return (
    <button type="button" className="panel-single" aria-expanded={isOpen} onClick={onOpen}>
      <Paint lab={reading.lab} label="" />
      <span>
        <b>{source}</b>
        <span className="fine">{sayDay(reading.takenAt)}</span>
        <span className="num">{`${labFigures(reading.lab, settings)} ± ${sayBound(reading.bound90, settings)}`}</span>
        {outlier ? (
          <span className="panel-outlier">
            <Triangle />
            {`Outlier, left out: ${say(outlier.de00)} off, ${say(outlier.expected90)} expected`}
          </span>
        ) : null}
      </span>
    </button>
  )
}

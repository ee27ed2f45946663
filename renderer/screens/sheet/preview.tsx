import { useEffect, useState } from 'react'
import type { Input, Output } from '../../../shared-core/contract/calls.ts'
import { sameSize } from '../../../shared-core/label/sheet/paper.ts'
import type { LabelGrid } from '../../../shared-core/records/sheet.ts'
import { Caution } from '../../parts/caution.tsx'
import { useAnswer } from '../../state/asking.ts'
import { loadLabelFace } from './label-face.ts'
import { PageView } from './page-view.tsx'

export type Wanted = Input<'sheets.layOut'>['wanted']
/** So many pages are looked at; all are printed. */
const shown = 6
/** Larger ones are shown smaller than they are. */
const trueSizeMm = 130

type LaidOut = Output<'sheets.layOut'>

/** What a preview shows: the newest answer, and the one before while the newest is on its way. */
export function usePreview(wanted: Wanted) {
  const { value, error } = useAnswer('sheets.layOut', { wanted, first: shown })
  const [last, setLast] = useState<LaidOut | undefined>(undefined)
  if (value && value !== last) setLast(value)
  return { laidOut: error ? undefined : (value ?? last), error, isNew: value !== undefined && !error }
}

type Props = {
  laidOut: LaidOut | undefined
  error: { message: string; remedy: string } | null
  /** "label", "card", "page". */
  of: string
  /** The sheet's labels, outlined in the preview alone. */
  guides?: LabelGrid | null
}

/** The same marks that are printed, at their real size or as large as there is room. */
export function Preview({ laidOut, error, of, guides = null }: Props) {
  const [faceReady, setFaceReady] = useState(false)
  useEffect(() => void loadLabelFace().then(() => setFaceReady(true)), [])
  const pages = laidOut?.pages ?? []
  const isTrue = pages.every(({ size }) => size.widthMm <= trueSizeMm)
  return (
    <section className="print-preview well scroll" aria-label="Preview">
      {error ? (
        <div className="print-fault">
          <Caution message={error.message} remedy={error.remedy} />
        </div>
      ) : null}
      {faceReady
        ? pages.map((page, i) => (
            <PageView
              key={i}
              page={page}
              className={`print-paper ${isTrue ? '' : 'is-fitted'}`}
              guides={guides && sameSize(guides.paper, page.size) ? guides : null}
            />
          ))
        : null}
      {laidOut ? <p className="fine print-count">{countInWords(laidOut, of, isTrue)}</p> : null}
    </section>
  )
}

function countInWords({ pages, pageCount }: LaidOut, of: string, isTrue: boolean): string {
  const count = pageCount === 1 ? `1 ${of}` : `${pageCount} ${of}s`
  const more = pageCount > pages.length ? `, the first ${pages.length} shown` : ''
  return isTrue ? `${count}${more}, at real size on most screens.` : `${count}${more}.`
}

import { useState } from 'react'
import { papers } from '../../../shared-core/label/sheet/paper.ts'
import type { IndexWanted, Printer } from '../../../shared-core/records/sheet.ts'
import { client } from '../../client/client.ts'
import { act } from '../../state/asking.ts'
import { openDrawn } from '../../state/open-drawn.ts'
import { useStore } from '../../state/store.ts'
import { ChooseSize, paperLimits } from './choose-size.tsx'
import { Preview, usePreview } from './preview.tsx'
import { PrinterLine } from './print-frame.tsx'
import { Ticks } from './ticks.tsx'
import { type PrintingChoices, useWording } from './use-printing.ts'

type Props = {
  choices: PrintingChoices
  /** Chosen panels; empty: all that hang on the wall. */
  panelIds: readonly string[]
  onMeasure: (printer: Printer) => void
  onClose: () => void
}

const columnCounts = [4, 5, 6, 7, 8]

/** The rack in pictures, as it hangs on the wall. */
export function PrintIndex({ choices: { printing, choose, keep }, panelIds, onMeasure, onClose }: Props) {
  const filter = useStore((s) => s.filter)
  const sort = useStore((s) => s.sort)
  const group = useStore((s) => s.group)
  const groupByGround = group === 'ground'
  const [onlyChosen, setOnlyChosen] = useState(panelIds.length > 1)
  const wanted: IndexWanted = {
    kind: 'index',
    panelIds: onlyChosen ? [...panelIds] : null,
    filter,
    sort,
    groupByGround,
    paper: printing.paper,
    columns: printing.indexColumns,
    shows: printing.shows.index,
    wording: useWording(),
  }
  const { laidOut, error, isNew } = usePreview(wanted)
  return (
    <>
      <div className="print">
        <div className="print-choices scroll">
          {panelIds.length > 0 ? (
            <div className="print-choice">
              <p className="fine">Which panels</p>
              <div className="print-pair" role="group" aria-label="Which panels">
                <button type="button" aria-pressed={!onlyChosen} onClick={() => setOnlyChosen(false)}>
                  As on the wall
                </button>
                <button type="button" aria-pressed={onlyChosen} onClick={() => setOnlyChosen(true)}>
                  {panelIds.length === 1 ? 'This one' : `The ${panelIds.length} chosen`}
                </button>
              </div>
            </div>
          ) : (
            <p className="fine">
              {groupByGround || group === 'none'
                ? 'Filtered, grouped and sorted as the wall is.'
                : `Filtered and sorted as the wall is, without its groups by ${group}.`}
            </p>
          )}
          <ChooseSize
            of="page"
            offered={papers}
            size={printing.paper}
            limits={paperLimits}
            onSize={(paper) => choose({ paper })}
          />
          <div className="print-choice">
            <p className="fine">Panels side by side</p>
            <div className="print-pair" role="group" aria-label="Panels side by side">
              {columnCounts.map((count) => (
                <button
                  key={count}
                  type="button"
                  aria-pressed={printing.indexColumns === count}
                  onClick={() => choose({ indexColumns: count })}
                >
                  {count}
                </button>
              ))}
            </div>
          </div>
          <Ticks
            offered={['title', 'formula', 'ground', 'coats', 'date']}
            called={{ formula: 'Candies', date: 'Date' }}
            ticked={printing.shows.index}
            onTick={(index) => choose({ shows: { ...printing.shows, index } })}
          />
          <PrinterLine printer="paper" onMeasure={onMeasure} />
        </div>
        <Preview laidOut={laidOut} error={error} of="page" />
      </div>
      <div className="print-acts">
        <IndexActs wanted={wanted} ready={isNew} onDraw={keep} />
        <button type="button" className="btn plain push" onClick={onClose}>
          Close
        </button>
      </div>
    </>
  )
}

/** Pictures take their time: draw, see how far it is, stop, open. */
function IndexActs({ wanted, ready, onDraw }: { wanted: IndexWanted; ready: boolean; onDraw: () => void }) {
  const [drawing, setDrawing] = useState<{ jobId: string; of: string } | null>(null)
  const job = useStore((s) => (drawing ? s.jobs[drawing.jobId] : undefined))
  const putAway = useStore((s) => s.putAwayJob)
  const asked = JSON.stringify(wanted)

  async function draw() {
    onDraw()
    const started = await act('sheets.drawIndex', { wanted })
    if (started) setDrawing({ jobId: started.jobId, of: asked })
  }
  if (drawing && (!job || job.state === 'running'))
    return (
      <>
        <p className="lead" role="status">
          {job && job.total > 0 ? `Page ${job.done} of ${job.total}` : 'Drawing the index'}
        </p>
        <button type="button" className="btn" onClick={() => void act('jobs.cancel', { jobId: drawing.jobId })}>
          Stop
        </button>
      </>
    )
  const { document } = job ?? {}
  if (drawing && document && drawing.of === asked)
    return (
      <button type="button" className="btn main" onClick={() => void openDrawn(document, () => putAway(drawing.jobId))}>
        {client().capabilities.canPrint ? 'Save the PDF' : 'Open the PDF'}
      </button>
    )
  return (
    <>
      <button type="button" className="btn main" disabled={!ready} onClick={() => void draw()}>
        Draw the index
      </button>
      {job?.state === 'failed' && job.error ? (
        <p className="fine" role="alert">
          <b>{job.error.message}</b> {job.error.remedy}
        </p>
      ) : (
        <p className="fine">
          {job?.state === 'cancelled' ? 'Stopped; nothing was kept.' : 'A PDF with the pictures, small enough to send.'}
        </p>
      )}
    </>
  )
}

import './check.css'
import { useState } from 'react'
import type { CheckReport } from '../../../../shared-core/records/check.ts'
import { lookThrough } from '../../../commands/care/look-through.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { sayMoment } from '../../../parts/say-moments.ts'
import { act } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { useOutcome, useReport } from './check-state.ts'
import { FindingBlock } from './finding-block.tsx'
import { PicturesBlock } from './pictures-block.tsx'
import { RepairDialog } from './repair-dialog.tsx'
import { UnneededBlock } from './unneeded-block.tsx'
import { WeeklyBlock } from './weekly-block.tsx'
import { counted, reportInWords } from './words.ts'

/** Whether everything is whole, and what can be put right. */
export function CheckPage() {
  const report = useReport()
  const folder = useStore((s) => s.rack?.folder)
  const [repairing, setRepairing] = useState(false)
  if (!report || folder === undefined) return <p role="status">Looking at what is known</p>
  return (
    <div className="check-page">
      <Standing report={report} />
      <div className="check-columns">
        <section className="check-findings" aria-label="What was found">
          {report.findings.length === 0 ? (
            <p className="block">
              {report.checkedAt === null
                ? 'Every record is compared with what it belongs to, and every photo with the checksum that it had when it was taken in. On a large rack this takes a while; you can go on working.'
                : 'Nothing was missing, nothing was damaged, and nothing lay in the rack’s folder that did not belong there.'}
            </p>
          ) : (
            report.findings.map((finding) => (
              <FindingBlock
                key={finding.code}
                finding={finding}
                isFirstLost={finding === report.findings.find(({ actions }) => actions.includes('relink'))}
                onRepair={() => setRepairing(true)}
              />
            ))
          )}
        </section>
        <div className="check-side">
          <WeeklyBlock />
          <PicturesBlock report={report} />
          <UnneededBlock report={report} />
        </div>
      </div>
      {repairing ? <RepairDialog folder={folder} onClose={() => setRepairing(false)} /> : null}
    </div>
  )
}

function Standing({ report }: { report: CheckReport }) {
  const settings = useStore((s) => s.settings)
  const outcome = useOutcome()
  const job = useStore((s) => (report.underWay?.jobId ? s.jobs[report.underWay.jobId] : undefined))
  const { underWay } = report
  return (
    <section className="check-standing" aria-label="How the rack stands">
      <p className="say" role="status">
        {reportInWords(report, settings)}
      </p>
      {outcome === null ? null : <p role="status">{outcome}</p>}
      {underWay && underWay.jobId !== null ? (
        <div className="check-running">
          <p>
            <b className="num">{`${job?.done ?? underWay.done} of ${job?.total || underWay.total}`}</b>{' '}
            {job?.stage || 'Looking through the records'}
          </p>
          <progress
            max={Math.max(1, job?.total ?? underWay.total)}
            value={job?.done ?? underWay.done}
            aria-label="How far the look through is"
          />
          <button
            type="button"
            className="btn"
            onClick={() => void act('jobs.cancel', { jobId: underWay.jobId ?? '' })}
          >
            Stop
          </button>
        </div>
      ) : null}
      {underWay && underWay.jobId === null ? (
        <p>
          {`One that was begun on ${sayMoment(underWay.startedAt, settings)} was stopped: ${underWay.done} of ${counted(underWay.total, 'file')} are looked through. It goes on from there.`}
        </p>
      ) : null}
      {underWay?.jobId ? null : (
        <div className="check-acts">
          <CommandButton command={lookThrough} look="main" />
        </div>
      )}
    </section>
  )
}

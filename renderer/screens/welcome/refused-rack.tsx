import { useEffect, useRef, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { ErrorCode } from '../../../shared-core/contract/calls.ts'
import { Triangle } from '../../parts/icons.tsx'
import { RestoreDialog } from '../care/backups/restore-dialog.tsx'
import { RepairDialog } from '../care/check/repair-dialog.tsx'
import { FindMoved } from './find-moved.tsx'
import { LockedHelp } from './locked-help.tsx'
import { openRack, type Refused, useRefused } from './refused.ts'

/** A rack could not be opened: what happened, and everything that helps, in one place. */
export function RefusedRack() {
  const [refused, opening] = useRefused(useShallow((s) => [s.refused, s.opening]))
  const section = useRef<HTMLElement>(null)
  // what was pressed may lie far below
  useEffect(() => {
    if (!refused) return
    section.current?.focus({ preventScroll: true })
    section.current?.scrollIntoView?.({ block: 'nearest' })
  }, [refused])
  if (!refused) return null
  return (
    <section
      ref={section}
      className="welcome-refused"
      role="alert"
      aria-label="A rack that could not be opened"
      tabIndex={-1}
    >
      <h2 className="say">{refused.name === null ? 'This rack' : `“${refused.name}”`} could not be opened</h2>
      <div className="warn">
        <Triangle />
        <p>
          <b>{refused.message}</b> {refused.remedy}
        </p>
      </div>
      {opening === refused.folder ? <p role="status">Opening it …</p> : null}
      <Helps key={refused.folder} refused={refused} />
    </section>
  )
}

/** What a refusal asks for. */
function helpsFor(code: ErrorCode<'rack.open'>): 'locked' | 'damaged' | 'newer' | 'absent' | 'none' {
  switch (code) {
    case 'rack/locked':
      return 'locked'
    case 'rack/damaged':
      return 'damaged'
    case 'rack/newer':
      return 'newer'
    case 'rack/folder-absent':
    case 'rack/not-a-rack':
    case 'rack/drive-gone':
      return 'absent'
    default:
      // its words say what to do
      return 'none'
  }
}

function Helps({ refused }: { refused: Refused }) {
  const { folder, code, message, name } = refused
  const [dialog, setDialog] = useState<'restore' | 'repair' | null>(null)
  const helps = helpsFor(code)
  const close = () => setDialog(null)
  const leave = (
    <button type="button" className="btn plain" onClick={() => useRefused.setState({ refused: null })}>
      Leave it for now
    </button>
  )
  if (helps === 'locked') return <LockedHelp folder={folder}>{leave}</LockedHelp>
  // only of a rack that was open here is it known what to look for
  if (helps === 'absent' && name !== null) return <FindMoved folder={folder}>{leave}</FindMoved>
  return (
    <>
      <div className="welcome-helps">
        {helps === 'damaged' ? (
          <button type="button" className="btn main" onClick={() => setDialog('repair')}>
            Repair it
          </button>
        ) : null}
        {helps === 'damaged' || helps === 'newer' ? (
          <button type="button" className="btn" onClick={() => setDialog('restore')}>
            Go back to a backup
          </button>
        ) : null}
        {helps === 'damaged' && /its drive has altered it/.test(message) ? (
          <button
            type="button"
            className="btn"
            title="It is looked through as it is opened; what was altered cannot be told from what is right"
            onClick={() => void openRack(folder, { asItIs: true })}
          >
            Open it as it is
          </button>
        ) : null}
        {leave}
      </div>
      {dialog === 'restore' ? <RestoreDialog folder={folder} onClose={close} /> : null}
      {dialog === 'repair' ? <RepairDialog folder={folder} onClose={close} /> : null}
    </>
  )
}

import type { Backup } from '../../../../shared-core/records/backup.ts'
import { Triangle } from '../../../parts/icons.tsx'
import { useStore } from '../../../state/store.ts'
import { useNow } from '../../../state/use-now.ts'
import type { Listed } from './use-backups.ts'
import { bytesInWords, countsInWords, sayWhen, whyInWords } from './words.ts'

/** Newest first, each with what it holds; a damaged one says so. */
export function BackupList({ listed, onOpen }: { listed: Listed; onOpen: (file: string) => void }) {
  if (!listed) return <p className="fine">Looking at the backups</p>
  if (listed.backups.length === 0)
    return (
      <p className="backups-none">
        None yet. “Back up now” makes the first one; from then on each day’s is made by itself.
      </p>
    )
  return (
    <ol className="backups-list">
      {listed.backups.map((backup) => (
        <li key={backup.file}>
          <BackupRow backup={backup} looked={listed.thorough} onOpen={() => onOpen(backup.file)} />
        </li>
      ))}
    </ol>
  )
}

function BackupRow({ backup, looked, onOpen }: { backup: Backup; looked: boolean; onOpen: () => void }) {
  const settings = useStore((s) => s.settings)
  const now = new Date(useNow(60_000))
  const when = sayWhen(backup.madeAt, settings, now)
  const isDamaged = backup.state === 'damaged'
  return (
    <div className={`backups-row ${isDamaged ? 'is-damaged' : ''}`}>
      <div>
        <b className="backups-when">{when}</b>
        <span className="fine">{whyInWords(backup)}</span>
      </div>
      <div>
        <span>{backup.facts ? countsInWords(backup.facts.counts) : 'what it holds is not noted'}</span>
        <span className="fine">
          {isDamaged ? <Triangle /> : null}
          {stateInWords(backup, looked)}, {bytesInWords(backup.byteCount, settings)}
        </span>
      </div>
      {isDamaged ? null : (
        <button
          type="button"
          className="btn plain"
          aria-label={`Look what going back to ${when}, ${whyInWords(backup)}, would change`}
          onClick={onOpen}
        >
          Look and go back
        </button>
      )}
    </div>
  )
}

function stateInWords({ state, kind, facts }: Backup, looked: boolean): string {
  if (kind === 'set-aside') return 'cannot be used as it is'
  if (state === 'damaged') return 'damaged since it was made: not to be used'
  if (state === 'whole') return 'whole, compared byte by byte'
  if (!looked) return 'being read through'
  return facts ? 'looked through; made before checksums were kept' : 'not looked through'
}

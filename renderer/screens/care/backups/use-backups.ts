import { useEffect, useState } from 'react'
import type { Failure } from '../../../../shared-core/contract/calls.ts'
import type { Backup, BackupState } from '../../../../shared-core/records/backup.ts'
import { client } from '../../../client/client.ts'
import { useStore } from '../../../state/store.ts'

/** Changes whenever a job has ended that may have made, moved or used a backup. */
export const useEndedJobs = (): string =>
  useStore((s) =>
    Object.values(s.jobs)
      .filter(({ kind, state }) => state !== 'running' && ['backup', 'restore', 'import', 'repair'].includes(kind))
      .map(({ id }) => id)
      .join(' '),
  )

export type Listed = { backups: Backup[]; thorough: boolean } | null

/** Backups in a folder: first as their names say, then read to their end. */
export function useBackupList(folder: string): { listed: Listed; error: Failure | null } {
  const ended = useEndedJobs()
  const [listed, setListed] = useState<Listed>(null)
  const [error, setError] = useState<Failure | null>(null)
  useEffect(() => {
    let here = true
    const list = async () => {
      for (const thorough of [false, true]) {
        const answer = await client().call('backups.list', { folder, thorough })
        if (!here) return
        if (answer.ok) setListed({ backups: answer.value.backups, thorough })
        setError(answer.ok ? null : answer.error)
        if (!answer.ok) return
      }
    }
    void list()
    return () => {
      here = false
    }
  }, [folder, ended])
  return { listed, error }
}

/** How safe the open rack is; asked again when it changes and when a backup was made. */
export function useBackupState(): { state: BackupState | null; ask: () => Promise<void> } {
  const ended = useEndedJobs()
  const revision = useStore((s) => s.rack?.revision)
  const [state, setState] = useState<BackupState | null>(null)
  const ask = async () => {
    const answer = await client().call('backups.describe', {})
    if (answer.ok) setState(answer.value)
  }
  useEffect(() => {
    let here = true
    void client()
      .call('backups.describe', {})
      .then((answer) => {
        if (here && answer.ok) setState(answer.value)
      })
    return () => {
      here = false
    }
  }, [ended, revision])
  return { state, ask }
}

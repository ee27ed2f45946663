import { useEffect, useState } from 'react'
import { create } from 'zustand'
import type { CheckReport } from '../../../../shared-core/records/check.ts'
import { client } from '../../../client/client.ts'
import { sayMoments } from '../../../parts/say-moments.ts'
import { useStore } from '../../../state/store.ts'

/** What the service says of the rack's state. It changes with no change of the rack, so it is asked for again and again. */
type CheckState = { folder: string | null; report: CheckReport | null }
export const useCheck = create<CheckState>(() => ({ folder: null, report: null }))

export async function askReport(): Promise<void> {
  const folder = useStore.getState().rack?.folder ?? null
  if (folder === null) return
  const answer = await client().call('check.report', {})
  if (answer.ok && useStore.getState().rack?.folder === folder)
    useCheck.setState({ folder, report: answer.value.report })
}

/** While something runs; whoever asks is watching, so that it goes on without rests. */
const whileRunningMs = 1500

/** The report of the open rack, kept up to date while the page is open. */
export function useReport(): CheckReport | null {
  const { folder, report } = useCheck()
  const rackFolder = useStore((s) => s.rack?.folder ?? null)
  const revision = useStore((s) => s.rack?.revision ?? 0)
  const running = useStore(
    (s) =>
      Object.values(s.jobs)
        .filter(isOwn)
        .filter(({ state }) => state === 'running').length,
  )
  useEffect(() => {
    void askReport()
  }, [rackFolder, revision, running])
  useEffect(() => {
    if (running === 0) return
    const timer = setInterval(() => void askReport(), whileRunningMs)
    return () => clearInterval(timer)
  }, [running])
  return folder === rackFolder ? report : null
}

const isOwn = ({ kind }: { kind: string }): boolean => kind === 'check' || kind === 'repair'

/**
 * What the last piece of work on this page came to, told here in place of a sheet over it. A look through tells it by the
 * report; files that were refused are told one by one as everywhere.
 */
export function useOutcome(): string | null {
  const [outcome, setOutcome] = useState<string | null>(null)
  const ended = useStore((s) =>
    Object.values(s.jobs).find(
      (job) =>
        job.kind === 'check' &&
        job.state === 'done' &&
        job.rackFolder === s.rack?.folder &&
        !s.seenJobs.includes(job.id) &&
        job.items.every(({ fate }) => fate !== 'refused'),
    ),
  )
  const newest = useStore((s) => Object.values(s.jobs).findLast(isOwn)?.id ?? null)
  useEffect(() => {
    if (!ended) return
    useStore.getState().putAwayJob(ended.id)
    const told = ended.label === lookThroughLabel ? null : (ended.outcome ?? null)
    setOutcome(told && sayMoments(told, useStore.getState().settings))
  }, [ended])
  const [shown, setShown] = useState(newest)
  // what comes next takes its place
  if (shown !== newest) {
    setShown(newest)
    setOutcome(null)
  }
  return outcome
}

/** As the service calls it. */
const lookThroughLabel = 'Looking through the rack'

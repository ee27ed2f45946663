import type { Output } from '../../../shared-core/contract/calls.ts'
import type { State } from '../../state/store.ts'

/** The job that the page shows, from what the service answered for it. */
export function shownJob(state: State): Output<'customerJobs.get'> | null {
  if (state.route.at !== 'jobs' || state.route.key === null) return null
  const kept = state.answers[`customerJobs.get ${JSON.stringify({ key: state.route.key })}`]
  return (kept?.value as Output<'customerJobs.get'> | undefined) ?? null
}

export const noJobShown = 'Open a job first.'

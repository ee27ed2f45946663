import { create } from 'zustand'
import type { JobCandidate } from '../../shared-core/records/customer-job.ts'

/** A colour that somebody wants to consider for a customer's job. */
export type Considered = {
  /** "P-0056 Tidewater, 3 coats". */
  name: string
  candidate: Omit<JobCandidate, 'id' | 'note'>
  /** What it was found for, which a new job takes over. */
  referenceId: string | null
}

type JobDialogs = {
  /** A new job is being begun. */
  beginning: boolean
  /** The reference that it is begun with. */
  referenceId: string | null
  considering: Considered | null
}

export const useJobDialogs = create<JobDialogs>(() => ({ beginning: false, referenceId: null, considering: null }))

export const consider = (considering: Considered): void => useJobDialogs.setState({ considering })

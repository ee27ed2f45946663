import { create } from 'zustand'
import type { Input } from '../../../shared-core/contract/calls.ts'

/** What readings of an instrument are taken in for: steps of a panel, or new references. */
export type TakingFor = { kind: 'panel'; key: string } | { kind: 'reference' }

type InstrumentState = {
  takingFor: TakingFor | null
  /** What is about to be written into a file, and how it is called. */
  exporting: { of: Input<'exchange.export'>['of']; what: string } | null
}

/** Which of the two sheets lies over the place. */
export const useInstrument = create<InstrumentState>(() => ({ takingFor: null, exporting: null }))

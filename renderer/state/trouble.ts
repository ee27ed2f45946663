import { create } from 'zustand'

type Trouble = {
  /** The service ended again and again, and waits to be started by hand. */
  gaveUp: { why: string; withRack: boolean } | null
}

/** What keeps the whole page from working. */
export const useTrouble = create<Trouble>(() => ({ gaveUp: null }))

import { create } from 'zustand'

/** Which dialog about the rack's folder stands open. */
export const rackPlace = create<{ shown: 'copy' | 'cautions' | null }>(() => ({ shown: null }))

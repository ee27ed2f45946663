import { create } from 'zustand'

/** The sheet that stands over the rack. */
export const useRackDialog = create<{ open: 'tags' | 'ground' | 'searches' | null }>(() => ({ open: null }))

export const closeRackDialog = (): void => useRackDialog.setState({ open: null })

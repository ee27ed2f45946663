import { create } from 'zustand'

/** The sheet that lies over Plan; closed when the page is loaded again. */
export type PlanSheet = 'add-candy' | 'grounds' | 'put-on-list' | 'spray-list' | 'shelf'

export const usePlanSheet = create<{ open: PlanSheet | null }>(() => ({ open: null }))

export const openSheet = (open: PlanSheet): void => usePlanSheet.setState({ open })
export const closeSheet = (): void => usePlanSheet.setState({ open: null })

import { create } from 'zustand'

type NotebookState = {
  /** The sheet lies over the place. */
  open: boolean
  /** What was dropped on the window, to be looked at when the sheet opens. */
  dropped: File | null
  /** The taking in that is under way or was the last, and how many panels it is. */
  taking: { jobId: string; panels: number; colours: number; leftOut: number } | null
}

export const useNotebook = create<NotebookState>(() => ({ open: false, dropped: null, taking: null }))

/** Opens the sheet, with a file where one was dropped. */
export function openNotebook(dropped: File | null): void {
  // what is still being written is shown on, another would have to wait
  useNotebook.setState((s) => ({ open: true, dropped, taking: s.taking }))
}

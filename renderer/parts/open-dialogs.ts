import { type RefObject, useEffect } from 'react'
import { create } from 'zustand'

/** Sheets that lie over the place, the uppermost last: what is said meanwhile is said in it, for the rest cannot be reached. */
export const useOpenDialogs = create<{ dialogs: readonly HTMLDialogElement[] }>(() => ({ dialogs: [] }))

/** Shows a dialog over everything else while its component is there. */
export function useOnTop(ref: RefObject<HTMLDialogElement | null>): void {
  useEffect(() => {
    const element = ref.current
    if (!element) return
    if (!element.open) element.showModal()
    useOpenDialogs.setState(({ dialogs }) => ({ dialogs: [...dialogs, element] }))
    return () => {
      useOpenDialogs.setState(({ dialogs }) => ({ dialogs: dialogs.filter((one) => one !== element) }))
      element.close()
    }
  }, [ref])
}

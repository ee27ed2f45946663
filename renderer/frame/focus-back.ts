import { type RefObject, useEffect } from 'react'

/** What lay in front is gone: the keys go back to where they were before, or else to the place. */
export function useFocusBack(front: RefObject<HTMLElement | null>, shown: unknown): void {
  useEffect(() => {
    const element = front.current
    if (!element || shown === undefined) return
    let before: HTMLElement | null = null
    let within = false
    const remember = ({ relatedTarget }: FocusEvent) => {
      within = true
      if (relatedTarget instanceof HTMLElement && !element.contains(relatedTarget)) before = relatedTarget
    }
    // an element that is taken away tells nobody that the focus left it
    const leave = ({ relatedTarget }: FocusEvent) => {
      if (relatedTarget instanceof HTMLElement && !element.contains(relatedTarget)) within = false
    }
    element.addEventListener('focusin', remember)
    element.addEventListener('focusout', leave)
    return () => {
      element.removeEventListener('focusin', remember)
      element.removeEventListener('focusout', leave)
      const isLost = document.activeElement === null || document.activeElement === document.body
      if (!within || !(isLost || element.contains(document.activeElement))) return
      const place = before?.isConnected
        ? before
        : document.querySelector<HTMLElement>('.tray-stage, main [tabindex="0"]')
      place?.focus({ preventScroll: true })
    }
  }, [front, shown])
}

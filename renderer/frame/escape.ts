import { useEffect, useEffectEvent } from 'react'

/** A field that is typed into, and a tool in the hand, have the key before what lies beside them. */
const isBusy = (target: EventTarget | null): boolean =>
  (target instanceof HTMLElement && target.matches('input, textarea, select')) ||
  document.querySelector('.tray-stage.with-tool') !== null

/**
 * Escape puts away what lies in front of the place; a dialog or menu over it has the key first.
 * @param putAway  says whether there was anything to put away
 * @param covers   it lies over the place, whose own use of the key comes after it
 */
export function useEscape(putAway: () => boolean, covers = false): void {
  const onEscape = useEffectEvent((event: KeyboardEvent) => {
    if (event.key !== 'Escape' || event.defaultPrevented) return
    if (document.querySelector('dialog[open], [role=dialog], [role=menu], [popover]:popover-open')) return
    if (covers && isBusy(event.target)) return
    if (!putAway()) return
    event.preventDefault()
    if (covers) event.stopPropagation()
  })
  useEffect(() => {
    // a component's own key handlers come first; shortcuts of the place come after, and let a prevented key be
    const listen = (event: KeyboardEvent) => onEscape(event)
    document.addEventListener('keydown', listen, covers)
    return () => document.removeEventListener('keydown', listen, covers)
  }, [covers])
}

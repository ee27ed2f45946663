/**
 * Arrow keys walk the rows of a list, whose links say so by `data-row`. A ref: only links take keys, the list around them
 * takes none itself.
 */
export function walkRows(list: HTMLElement | null): (() => void) | undefined {
  if (!list) return undefined
  const walk = (event: KeyboardEvent) => {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key]
    if (step === undefined || event.ctrlKey || event.metaKey || event.altKey) return
    const rows = [...list.querySelectorAll<HTMLElement>('[data-row]')]
    const at = rows.findIndex((row) => row === document.activeElement)
    const next = at < 0 ? undefined : rows[at + step]
    if (!next) return
    event.preventDefault()
    next.focus()
  }
  list.addEventListener('keydown', walk)
  return () => list.removeEventListener('keydown', walk)
}

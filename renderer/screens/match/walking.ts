const byPage = 5

/** Where a key leads in a list; null: a key that does not walk. Where there is no further row one stays. */
export function stepInList(key: string, at: number, count: number): number | null {
  const next = {
    ArrowUp: at - 1,
    ArrowDown: at + 1,
    Home: 0,
    End: count - 1,
    PageUp: at - byPage,
    PageDown: at + byPage,
  }[key]
  return next === undefined ? null : Math.min(Math.max(next, 0), count - 1)
}

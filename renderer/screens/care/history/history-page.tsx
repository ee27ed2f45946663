/** What was changed, by whom and when. */
export function HistoryPage() {
  return null
}

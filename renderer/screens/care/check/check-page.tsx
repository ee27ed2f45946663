/** Whether everything is whole. */
export function CheckPage() {
  return null
}

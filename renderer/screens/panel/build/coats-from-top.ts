import type { Band } from '../../../../shared-core/records/panel.ts'

/** For each coat from the top down, the step that shows it: the one with the fewest coats that has this coat. */
export function coatsFromTop(coats: number, bands: readonly Band[]): Band[] {
  const ladder = bands.filter((band) => band.coats > 0 && band.lab).toSorted((a, b) => a.coats - b.coats)
  const shown: Band[] = []
  for (let coat = Math.ceil(coats); coat >= 1; coat--) {
    const band = ladder.find((one) => one.coats >= coat)
    if (band) shown.push(band)
  }
  return shown.length === Math.ceil(coats) ? shown : []
}

import { pointInQuad } from '../../../../shared-core/capture/geometry.ts'
import { type Found, type FoundPanel, surely } from '../../../../shared-core/records/proposal.ts'
import type { Desk } from '../desk-state.ts'
import type { Marks } from '../marks.ts'
import { meanOf } from './found.ts'

/** Panels that surely lie in a photo, from left to right, so that one follows the other and none is left out. */
export function surePanels(found: Found | null): FoundPanel[] {
  const sure = found?.panels.filter(({ confidence }) => confidence >= surely) ?? []
  return sure.toSorted((a, b) => meanOf(a.quad)[0] - meanOf(b.quad)[0] || meanOf(a.quad)[1] - meanOf(b.quad)[1])
}

/** Whether the marked panel lies in this outline. */
export const isMarkedIn = (marks: Marks, { quad }: Pick<FoundPanel, 'quad'>): boolean =>
  marks.list.some((mark) => pointInQuad(mark.kind === 'round' ? mark.centre : meanOf(mark.quad), quad))

/** Panels in the photo beside the one that is marked. */
export function countOthers({ made, marks }: Pick<Desk, 'made' | 'marks'>): number {
  const panels = surePanels(made?.found ?? null)
  return panels.filter((panel) => !isMarkedIn(marks, panel)).length
}

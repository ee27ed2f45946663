import type { MapGap } from '../../screens/rack/map/geometry/gaps.ts'
import { lchInWords } from '../../screens/rack/map/geometry/hue-words.ts'
import { lookAtGap } from '../../screens/rack/map/map-acts.ts'
import { type MapState, useMap } from '../../screens/rack/map/map-state.ts'
import { act } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import type { State } from '../../state/store.ts'
import type { Command } from '../command.ts'
import { noMap } from './map-zoom.ts'

function noGap(): string | null {
  const { gaps } = useMap.getState()
  return noMap() ?? (gaps === null ? 'Gaps are still looked for.' : gaps.length === 0 ? 'There is no gap here.' : null)
}

const walk = (id: string, label: string, shortcut: string, next: (at: number | null) => number): Command => ({
  id,
  place: 'rack',
  label: () => label,
  shortcut,
  missing: noGap,
  run: () => lookAtGap(next(useMap.getState().gapAt)),
  undo: 'none',
})

export const mapNextGap = walk('rack.mapNextGap', 'Next gap', 'g', (at) => (at === null ? 0 : at + 1))
export const mapLastGap = walk('rack.mapLastGap', 'Gap before', 'Shift+g', (at) => (at === null ? -1 : at - 1))

const gapLooked = ({ gaps, gapAt }: MapState) => (gapAt === null ? undefined : gaps?.[gapAt])

/**
 * A gap's colour becomes a reference, and Plan suggests what could be sprayed for it. It is a wish and no reading: it is
 * what it says, under clear, at the face.
 */
export async function planInto({ l, a, b }: MapGap, { settings, say }: State): Promise<void> {
  const name = `Gap at ${lchInWords({ l, a, b }, settings)}`
  const made = await act('references.addTyped', {
    name,
    lab: { l, a, b },
    illuminant: 'D50',
    observer: '2',
    geometry: 'photo',
    bound90: 0.1,
    view: 'face',
    stage: 'cleared',
    lightId: null,
  })
  if (!made) return
  say(`${name} is a reference now.`, 'Undo takes it out again.')
  go({ at: 'plan', formula: null, referenceId: made.reference.id })
}

export const mapPlanGap: Command = {
  id: 'rack.mapPlanGap',
  place: 'rack',
  label: () => 'Plan into this gap',
  shortcut: null,
  missing: () => noGap() ?? (gapLooked(useMap.getState()) ? null : 'Look at a gap first.'),
  async run(state) {
    const gap = gapLooked(useMap.getState())
    if (gap) await planInto(gap, state)
  },
  undo: 'recorded',
}

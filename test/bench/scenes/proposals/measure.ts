import { findThings } from '../../../../shared-core/find/things/find-things.ts'
import type { Quad } from '../../../../shared-core/records/area.ts'
import type { FoundThing } from '../../../../shared-core/records/proposal.ts'
import { pixelsOf } from '../cases.ts'
import { intersectionOverUnion } from './overlap.ts'
import { planOpen } from './plan.ts'

export type Kind = 'panel' | 'card' | 'chart'

export type ProposalsMeasured = {
  group: 'proposals'
  set: number
  /** Each true thing: the best overlap among what was proposed for its kind with confidence, 0 where nothing was. */
  things: { kind: Kind; overlap: number; sideways: number }[]
  /** Each proposal, sure or not: its confidence, and whether it is right. */
  proposed: { kind: Kind; confidence: number; right: boolean }[]
}

const surely = 0.5
export const nearEnough = 0.85

export async function measureProposals(set: number, seed: string): Promise<ProposalsMeasured[]> {
  const photo = planOpen(`${seed}/proposals/${set}`)
  const found = findThings(await pixelsOf(photo.planned), photo.planned.profile)
  const truth: Record<Kind, Quad[]> = {
    panel: photo.panels,
    card: photo.cards,
    chart: photo.chart ? [photo.chart] : [],
  }
  const proposals: Record<Kind, FoundThing[]> = {
    panel: found.panels,
    card: found.cards,
    chart: found.chart ? [found.chart] : [],
  }
  const kinds: Kind[] = ['panel', 'card', 'chart']
  const best = (quad: Quad, among: Quad[]) => Math.max(0, ...among.map((one) => intersectionOverUnion(quad, one)))
  return [
    {
      group: 'proposals',
      set,
      things: kinds.flatMap((kind) =>
        truth[kind].map((quad) => {
          const sure = proposals[kind].filter(({ confidence }) => confidence >= surely)
          const others = kinds.flatMap((other) => (other === kind ? [] : proposals[other]))
          return {
            kind,
            overlap: best(
              quad,
              sure.map((one) => one.quad),
            ),
            sideways: best(
              quad,
              others.map((one) => one.quad),
            ),
          }
        }),
      ),
      proposed: kinds.flatMap((kind) =>
        proposals[kind].map(({ quad, confidence }) => ({
          kind,
          confidence,
          right: best(quad, truth[kind]) >= nearEnough,
        })),
      ),
    },
  ]
}

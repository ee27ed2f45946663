import { overlapOf } from '../../../shared-core/find/things/overlap.ts'
import type { Quad } from '../../../shared-core/records/area.ts'
import type { Found, FoundThing } from '../../../shared-core/records/proposal.ts'

/** Outlines as the benches write them: of panels, of references by type, of a photo's one chart. */
type Answer = {
  file: string
  panels?: { quad: Quad }[]
  references?: { type: string; quad: Quad }[]
  quad?: Quad
}

const nearEnough = 0.85
const bins = [0, 0.2, 0.5, 0.8, 0.95, 1]

/** Prints the shares that were found, and how often proposals of each confidence are right. */
export function checkAnswers(
  listed: readonly { file: string }[],
  results: readonly ({ file: string } & Found)[],
): void {
  const tellers = { panel: new Teller('panels'), card: new Teller('cards'), chart: new Teller('charts') }
  for (const answer of listed as readonly Answer[]) {
    const found = results.find(({ file }) => file === answer.file)
    if (!found) continue
    const references = answer.references ?? []
    const charts = references.filter(({ type }) => type === 'chart24').map(({ quad }) => quad)
    tellers.panel.add(
      (answer.panels ?? []).map(({ quad }) => quad),
      found.panels,
    )
    tellers.card.add(
      references.filter(({ type }) => type === 'grey').map(({ quad }) => quad),
      found.cards,
    )
    tellers.chart.add(answer.quad ? [answer.quad] : charts, found.chart ? [found.chart] : [])
  }
  for (const teller of Object.values(tellers)) teller.print()
}

class Teller {
  readonly name: string
  overlaps: number[] = []
  proposals: { confidence: number; isRight: boolean }[] = []

  constructor(name: string) {
    this.name = name
  }

  add(truth: readonly Quad[], proposed: readonly FoundThing[]): void {
    const sure = proposed.filter(({ confidence }) => confidence >= 0.5)
    const best = (quad: Quad, among: readonly Quad[]) => Math.max(0, ...among.map((one) => overlapOf(one, quad)))
    for (const quad of truth)
      this.overlaps.push(
        best(
          quad,
          sure.map((one) => one.quad),
        ),
      )
    for (const { quad, confidence } of proposed)
      this.proposals.push({ confidence, isRight: best(quad, truth) >= nearEnough })
  }

  print(): void {
    const found = this.overlaps.filter((overlap) => overlap >= nearEnough)
    const mean = found.reduce((sum, overlap) => sum + overlap, 0) / Math.max(1, found.length)
    const share = ((100 * found.length) / Math.max(1, this.overlaps.length)).toFixed(1)
    console.log(
      `${this.name.padEnd(7)} ${found.length} of ${this.overlaps.length} with IoU >= ${nearEnough} (${share} %), their mean ${mean.toFixed(3)}`,
    )
    const lines = bins.slice(1).map((to, i) => {
      const from = bins[i]!
      const some = this.proposals.filter((one) => one.confidence >= from && (one.confidence < to || to === 1))
      const right = some.filter(({ isRight }) => isRight).length
      return `${from}-${to}: ${right} of ${some.length}`
    })
    console.log(`        right by confidence  ${lines.join('   ')}`)
  }
}

/** Rendered pictures whose outlines are known. */
import { describe, expect, it } from 'vitest'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { srgbProfile } from '../../shared-core/colour/profile.ts'
import { findThings } from '../../shared-core/find/things/find-things.ts'
import { overlapOf } from '../../shared-core/find/things/overlap.ts'
import { findSteps } from '../../shared-core/find/things/steps.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import { type FoundThing, surely } from '../../shared-core/records/proposal.ts'
import { chart, mirrored, pictureOf, plain, seen, turnedBy, unevenness } from './things-scene.ts'

const find = (picture: Pixels) => findThings(picture, srgbProfile)
const sure = <T extends FoundThing>(things: T[]): T[] => things.filter(({ confidence }) => confidence >= surely)
const panelAt = seen([300, 280], 250, 375, 0.06, 0.25)
const cardAt = seen([560, 300], 125, 200, -0.05, 0.25)

describe('panels and cards on a bench', () => {
  const card = { quad: cardAt, at: plain(50, 0, 0) }

  it.each([
    ['a red panel on grey', [62, 1, 3], [42, 58, 38], 0.02],
    ['a coarse silver on brown', [48, 8, 18], [66, 0, 1], 0.5],
    ['dark on dark', [17, 1, 2], [25, 3, -14], 0.02],
    ['pale on white', [91, 0, 2], [83, 4, 12], 0.02],
  ] as const)('%s', (_name, ground, paint, grain) => {
    const panel = { quad: panelAt, at: plain(paint[0], paint[1], paint[2]), grain }
    const found = find(pictureOf(800, 600, [ground[0], ground[1], ground[2]], [panel, card]))
    expect(sure(found.panels)).toHaveLength(1)
    expect(overlapOf(found.panels[0]!.quad, panelAt)).toBeGreaterThan(0.97)
    expect(sure(found.cards)).toHaveLength(1)
    expect(overlapOf(found.cards[0]!.quad, cardAt)).toBeGreaterThan(0.97)
    expect(found.chart).toBeNull()
  })

  it('a reflection over a corner does not hide a panel', () => {
    const glare = (u: number, v: number) => (Math.hypot(u - 0.1, v - 0.15) < 0.3 ? 100 : 35)
    const panel = {
      quad: panelAt,
      at: (u: number, v: number) => [glare(u, v), 0, glare(u, v) - 100] as [number, number, number],
    }
    const found = find(pictureOf(800, 600, [66, 1, 3], [panel, card]))
    expect(overlapOf(sure(found.panels)[0]!.quad, panelAt)).toBeGreaterThan(0.95)
  })

  it('two panels in a row are two, also where their edges line up', () => {
    const [one, two] = [seen([200, 290], 220, 330, 0, 0), seen([440, 290], 220, 330, 0, 0)]
    const found = find(
      pictureOf(
        800,
        600,
        [64, 0, 2],
        [
          { quad: one, at: plain(38, 50, 30) },
          { quad: two, at: plain(44, -8, -36) },
        ],
      ),
    )
    for (const quad of [one, two])
      expect(Math.max(...sure(found.panels).map((panel) => overlapOf(panel.quad, quad)))).toBeGreaterThan(0.95)
  })

  it('strips of a taped panel are its steps, and together the panel', () => {
    const coats = [70, 58, 48, 40]
    const panel = {
      quad: panelAt,
      at: (_u: number, v: number) => [coats[Math.floor(v * 4)]!, 40, 30] as [number, number, number],
    }
    const found = find(pictureOf(800, 600, [88, 0, 2], [panel]))
    expect(sure(found.panels)).toHaveLength(1)
    expect(overlapOf(found.panels[0]!.quad, panelAt)).toBeGreaterThan(0.95)
    expect(found.panels[0]!.steps).toHaveLength(4)
  })

  it('one that runs out of the picture is no more than a guess', () => {
    const cut = seen([90, 290], 250, 330, 0.05, 0.2)
    const { panels } = find(pictureOf(800, 600, [64, 0, 2], [{ quad: cut, at: plain(38, 50, 30) }]))
    expect(sure(panels)).toEqual([])
    const inside = cut.map(([x, y]) => [Math.max(0, x), y]) as Quad
    expect(overlapOf(panels[0]!.quad, inside)).toBeGreaterThan(0.8)
  })

  it('an empty bench shows nothing for sure', () => {
    const found = find(pictureOf(800, 600, [55, 4, 8], []))
    expect([...sure(found.panels), ...sure(found.cards)]).toEqual([])
    expect(found.chart).toBeNull()
  })
})

describe('a chart', () => {
  const lying = seen([400, 300], 320, 213, 0.2, 0.2)
  it.each([0, 1, 2, 3].flatMap((turn) => [false, true].map((isMirrored) => ({ turn, isMirrored }))))(
    'patch 1 comes first: turned $turn times, in a mirror: $isMirrored',
    ({ turn, isMirrored }) => {
      const upright = turn % 2 === 0 ? lying : seen([400, 300], 213, 320, 0.2, 0.2)
      const quad = isMirrored ? mirrored(turnedBy(upright, turn)) : turnedBy(upright, turn)
      const found = find(pictureOf(800, 600, [60, 2, 4], [{ quad, at: chart }]))
      expect(found.chart!.confidence).toBeGreaterThan(surely)
      quad.forEach(([x, y], i) => {
        expect(Math.hypot(found.chart!.quad[i]![0] - x, found.chart!.quad[i]![1] - y)).toBeLessThan(4)
      })
      // neither its patches nor its frame are panels
      expect(sure(found.panels)).toEqual([])
    },
  )

  it('24 other colours are no chart', () => {
    const random = unevenness(99)
    const other = Array.from(
      { length: 24 },
      () => [50 + 60 * random(), 80 * random(), 80 * random()] as [number, number, number],
    )
    const at = (u: number, v: number): [number, number, number] => {
      const inside = Math.max(Math.abs(((u * 6) % 1) - 0.5), Math.abs(((v * 4) % 1) - 0.5)) < 0.41
      return inside ? other[Math.floor(v * 4) * 6 + Math.floor(u * 6)]! : [12, 0, 0]
    }
    const found = find(pictureOf(800, 600, [60, 2, 4], [{ quad: lying, at }]))
    expect(found.chart?.confidence ?? 0).toBeLessThan(surely)
  })
})

describe('steps', () => {
  it('light that falls off over a panel of one piece makes none', () => {
    const panel = {
      quad: panelAt,
      at: (u: number, v: number) => [Math.round(8 * (62 - 14 * v - 4 * u)) / 8, 20, 20] as [number, number, number],
    }
    expect(findSteps(pictureOf(600, 600, [88, 0, 2], [panel]), srgbProfile, panelAt)).toEqual([])
  })

  it('share their edges, from one end to the other', () => {
    const coats = [66, 60, 52]
    const cuts = [0.3, 0.62]
    const at = (u: number) => [coats[cuts.filter((cut) => u > cut).length]!, 30, 20] as [number, number, number]
    const steps = findSteps(pictureOf(600, 600, [88, 0, 2], [{ quad: panelAt, at }]), srgbProfile, panelAt)
    expect(steps).toHaveLength(3)
    expect(steps[0]![1]).toEqual(steps[1]![0])
    expect(steps[1]![2]).toEqual(steps[2]![3])
    const [topLeft, topRight] = [panelAt[0], panelAt[1]]
    cuts.forEach((cut, i) => {
      const x = topLeft[0] + cut * (topRight[0] - topLeft[0])
      expect(Math.abs(steps[i]![1][0] - x)).toBeLessThan(3)
    })
  })

  it('an outline that crosses itself has none', () => {
    const crossed: Quad = [panelAt[0], panelAt[2], panelAt[1], panelAt[3]]
    expect(findSteps(pictureOf(60, 60, [88, 0, 2], []), srgbProfile, crossed)).toEqual([])
  })
})

it.each([
  [1, 5000],
  [5000, 1],
  [3, 3],
  [40, 2000],
  [25, 25],
])('a picture of %d by %d pixels is looked at without a fault', (width, height) => {
  const random = unevenness(7)
  const data = Uint8Array.from({ length: width * height * 3 }, () => 128 + 250 * random())
  expect(sure(find({ width, height, channels: 3, bits: 8, data }).panels)).toEqual([])
})

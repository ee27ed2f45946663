import { describe, expect, it } from 'vitest'
import { cornerNamesOf } from '../../renderer/screens/tray/desk/corner-names.ts'
import type { Point } from '../../shared-core/records/area.ts'

const square: Point[] = [
  [0, 0],
  [10, 1],
  [9, 12],
  [1, 11],
]

describe('the corners of an outline', () => {
  it('are called by where they lie on the screen, wherever the outline begins and whichever way it runs', () => {
    const names = ['Top left', 'Top right', 'Bottom right', 'Bottom left']
    for (let first = 0; first < 4; first++) {
      const turned = square.map((_, i) => square[(i + first) % 4]!)
      const wanted = names.map((_, i) => names[(i + first) % 4]!)
      expect(cornerNamesOf(turned)).toEqual(wanted)
      expect(cornerNamesOf(turned.toReversed())).toEqual(wanted.toReversed())
    }
  })

  it('have each a name of their own, also where the outline stands on its tip or lies in one point', () => {
    const tip: Point[] = [
      [5, 0],
      [10, 5],
      [5, 10],
      [0, 5],
    ]
    for (const quad of [tip, tip.map((): Point => [3, 3])]) expect(new Set(cornerNamesOf(quad)).size).toBe(4)
  })
})

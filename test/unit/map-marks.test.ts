import { describe, expect, it } from 'vitest'
import { wordSpot } from '../../renderer/screens/rack/map/draw/chart.ts'
import { drawMarks, type Marking, markWidth } from '../../renderer/screens/rack/map/draw/marks.ts'
import { rimWords } from '../../renderer/screens/rack/map/geometry/hue-words.ts'
import { fitted, frameOf, toSpot } from '../../renderer/screens/rack/map/geometry/projection.ts'
import { greyPixel, type MapSteps, sliceRun } from '../../renderer/screens/rack/map/geometry/steps.ts'
import { stepsOf } from './map-steps.ts'

const [width, height] = [200, 160]
const frame = frameOf(fitted, { width, height }, 40, { x: 20, y: 20 })
const [black, white] = [greyPixel(0), greyPixel(255)]

function drawn(steps: MapSteps, more: Partial<Marking> = {}) {
  const data = new Uint32Array(width * height)
  drawMarks({ data, width, height }, frame, {
    steps,
    run: sliceRun(steps, { middle: 50 }),
    width: 10,
    dpr: 1,
    chosen: new Uint8Array(steps.panelIds.length),
    anyChosen: false,
    ...more,
  })
  const spot = (row: number) => toSpot(frame, steps.a[row]!, steps.b[row]!)
  return {
    data,
    at: (row: number, dx = 0, dy = 0) => data[(Math.round(spot(row).y) + dy) * width + Math.round(spot(row).x) + dx]!,
    count: (ink: number) => data.filter((pixel) => pixel === ink).length,
  }
}

describe('marks', () => {
  it('are upright, in their own paint, on a hook', () => {
    const steps = stepsOf([{ l: 50, a: 10, b: 10 }])
    const { at, count } = drawn(steps)
    expect(at(0)).toBe(steps.paint[0])
    expect(count(steps.paint[0]!)).toBe(10 * 20)
    expect(at(0, 0, -11)).toBe(black)
    expect(count(black)).toBe(3)
  })

  it('have their corner cut where the screen cannot show the paint', () => {
    const steps = stepsOf([
      { l: 50, a: 0, b: 38 },
      { l: 55, a: -38, b: -30 },
    ])
    expect([...steps.beyond]).toEqual([0, 1])
    const { at } = drawn(steps)
    expect(at(0, 4, -10)).toBe(steps.paint[0])
    expect(at(1, 4, -10)).toBe(0)
    expect(at(1, -5, -10)).toBe(steps.paint[1])
  })

  it('outside the slice are strokes, unless only the slice is wanted', () => {
    const steps = stepsOf([
      { l: 10, a: 10, b: 10 },
      { l: 90, a: -10, b: 10 },
    ])
    const { at, count } = drawn(steps)
    expect([at(0), at(1), count(black)]).toEqual([black, black, 6])
    expect(drawn(steps, { strokes: false }).count(0)).toBe(width * height)
  })

  it('of chosen panels stand in black around white, every step of the panel', () => {
    const steps = stepsOf([
      { l: 50, a: 10, b: 10 },
      { l: 52, a: -20, b: 10 },
      { l: 90, a: 0, b: -20 },
    ])
    const { at } = drawn(steps, { chosen: Uint8Array.of(1), anyChosen: true })
    for (const row of [0, 1]) {
      expect(at(row)).toBe(steps.paint[row])
      expect(at(row, -6)).toBe(white)
      expect(at(row, -8)).toBe(black)
      expect(at(row, -10)).toBe(0)
    }
    expect(at(2)).toBe(white)
  })

  it('that touch have one outline around them all', () => {
    const steps = stepsOf([
      { l: 50, a: 0, b: 0 },
      { l: 50, a: 8, b: 0 },
    ])
    const { at } = drawn(steps, { chosen: Uint8Array.of(1), anyChosen: true })
    const half = Math.round((8 * frame.scale) / 2)
    expect(at(0, half)).toBe(white)
  })

  it('at the edge are cut there and do not come in again at the other side', () => {
    const steps = stepsOf([
      { l: 50, a: 60, b: 0 },
      { l: 50, a: -60, b: 60 },
      { l: 50, a: 400, b: 400 },
    ])
    const { data } = drawn(steps)
    for (let y = 0; y < height; y++) {
      const line = [...data.subarray(y * width, (y + 1) * width)]
      expect(line.slice(20, width - 20).every((pixel) => pixel === 0)).toBe(true)
    }
  })

  it('are as wide as leaves most in sight, within limits', () => {
    expect(markWidth(0, 5, 1)).toBe(12)
    expect(markWidth(100, 5, 1)).toBe(3)
    expect(markWidth(0.5, 5, 1)).toBeGreaterThan(3)
    expect(markWidth(0.5, 5, 1)).toBeLessThan(12)
    expect(markWidth(0, 5, 2)).toBe(24)
  })
})

describe('words of hues', () => {
  const room = { width: 856, height: 568 }
  const degree = Math.PI / 180

  it('stand beside the rim, on their own side, when all is seen', () => {
    const whole = frameOf(fitted, room, 100)
    for (const { angle } of rimWords) {
      const spot = wordSpot(whole, 100, angle * degree)!
      const { x, y } = toSpot(whole, 100 * Math.cos(angle * degree), 100 * Math.sin(angle * degree))
      expect(Math.hypot(spot.x - x, spot.y - y)).toBeLessThan(20)
    }
  })

  it('stay in sight along the edge when looking closer, and go where their hue is not seen', () => {
    const close = frameOf({ a: 40, b: 0, zoom: 8 }, room, 100)
    const seen = rimWords.filter(({ angle }) => wordSpot(close, 100, angle * degree))
    for (const { angle } of seen) {
      const { x, y } = wordSpot(close, 100, angle * degree)!
      expect(x >= 0 && x <= room.width && y >= 0 && y <= room.height).toBe(true)
    }
    expect(wordSpot(close, 100, 197 * degree)).toBeNull()
  })
})

import fc from 'fast-check'
import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { besideFinger } from '../../renderer/screens/tray/desk/loupe.tsx'
import { useDesk } from '../../renderer/screens/tray/desk-state.ts'
import type { Point, Quad } from '../../shared-core/records/area.ts'
import { press, settle, show } from './mounting.ts'
import { clearTray, madeOf, Place, panelQuad, proposed, setTray, stage, tray, waiting } from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

/** What was found lies five pixels off what is marked, at its third corner. */
const found: Quad = panelQuad.map(([x, y], i): Point => (i === 2 ? [x + 5, y + 4] : [x, y])) as Quad
const withFound = () => {
  tray.photos = [waiting('first', proposed)]
  tray.made = {
    first: madeOf('first', {
      found: {
        panels: [{ quad: found, confidence: 0.9, steps: [] }],
        cards: [],
        chart: null,
        sheet: null,
        symbols: [],
      },
    }),
  }
}
const corner = () => (useDesk.getState().marks.list[0] as { quad: Quad }).quad[2]

/** The photo lies 28 px from the edge of the stage, at its own size. */
async function pointer(kind: 'down' | 'move' | 'up', [x, y]: Point, how: PointerEventInit = {}) {
  const at = { clientX: x + 28, clientY: y + 28, pointerId: 1, button: 0, bubbles: true, cancelable: true, ...how }
  await act(async () => stage(document).dispatchEvent(new PointerEvent(`pointer${kind}`, at)))
  await settle()
}

describe('a corner near what was found', () => {
  beforeEach(withFound)

  it('goes to it, and shows that it did; farther off it follows the pointer', async () => {
    const host = await show(<Place />)
    await pointer('down', [400, 700])
    await pointer('move', [401, 701])
    expect(corner()).toEqual([405, 704])
    expect(host.querySelector('.tray-handle.snapped')).not.toBeNull()
    expect(host.querySelector('.tray-loupe')?.textContent).toBe('Corner 3 of 4, on the edge')
    await pointer('move', [430, 730])
    expect(corner()).toEqual([430, 730])
    expect(host.querySelector('.tray-handle.snapped')).toBeNull()
    await pointer('up', [430, 730])
  })

  it('stays where it is put while Alt is held, or once snapping is off', async () => {
    await show(<Place />)
    await pointer('down', [400, 700])
    await pointer('move', [401, 701], { altKey: true })
    expect(corner()).toEqual([401, 701])
    await pointer('up', [401, 701])
    await press('s')
    await pointer('down', [401, 701])
    await pointer('move', [402, 702])
    expect(corner()).toEqual([402, 702])
    await pointer('up', [402, 702])
  })

  it('by keys only a large step ends there, and a small one is exact', async () => {
    await show(<Place />)
    await act(async () => stage(document).focus())
    await press('3')
    await press('ArrowRight')
    expect(corner()).toEqual([401, 700])
    await press('ArrowRight', { shiftKey: true })
    expect(corner()).toEqual([405, 704])
    // the same key goes on from there
    await press('ArrowRight', { shiftKey: true })
    expect(corner()).toEqual([415, 704])
    await press('ArrowLeft', { shiftKey: true, altKey: true })
    expect(corner()).toEqual([405, 704])
  })
})

describe('by finger', () => {
  it('a corner is taken within a fingertip of it, also of a mark that is not chosen, and is seen beside the finger', async () => {
    withFound()
    const host = await show(<Place />)
    await act(async () => useDesk.setState({ chosen: null }))
    await pointer('down', [700 + 15, 100 + 12], { pointerType: 'touch' })
    await pointer('move', [700 + 16, 100 + 12], { pointerType: 'touch' })
    expect(useDesk.getState().chosen).toMatchObject({ key: 'card', handle: 0 })
    expect(host.querySelector('.tray-loupe.beside')).not.toBeNull()
    await pointer('up', [700 + 16, 100 + 12], { pointerType: 'touch' })
    expect(host.querySelector('.tray-loupe.beside')).toBeNull()
  })

  it('the magnifier never lies under the finger, nor beyond the desk', () => {
    const room = { width: 560, height: 420 }
    const size = { width: 182, height: 176 }
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 560, noNaN: true }),
        fc.double({ min: 0, max: 420, noNaN: true }),
        (x, y) => {
          const { left, top } = besideFinger([x, y], room)
          expect(left).toBeGreaterThanOrEqual(0)
          expect(top).toBeGreaterThanOrEqual(0)
          expect(left + size.width).toBeLessThanOrEqual(room.width)
          expect(top + size.height).toBeLessThanOrEqual(room.height)
          // a fingertip is about 44 px wide
          const [nearX, nearY] = [
            Math.min(Math.max(x, left), left + size.width),
            Math.min(Math.max(y, top), top + size.height),
          ]
          expect(Math.hypot(nearX - x, nearY - y)).toBeGreaterThan(22)
        },
      ),
    )
  })
})

import { expect, test } from 'vitest'
import { lightOfSitting, retakeOf } from '../../electron/service/proposals/sitting.ts'

const shot = (takenAt: string, lightId: string) => ({ takenAt, lightId })

test('the light is that of the nearest photo within half an hour, before or after, past midnight too', () => {
  const shots = [
    shot('2026-05-01T09:00:00', 'window'),
    shot('2026-05-01T10:00:00', 'lamp'),
    shot('2026-05-01T10:50:00', 'booth'),
    shot('2026-05-01T23:50:00', 'night'),
  ]
  expect(lightOfSitting('2026-05-01T10:20:00', shots)).toBe('lamp')
  expect(lightOfSitting('2026-05-01T10:30:00', shots)).toBe('booth')
  expect(lightOfSitting('2026-05-01T08:45:00', shots)).toBe('window')
  expect(lightOfSitting('2026-05-02T00:15:00', shots)).toBe('night')
  // what the camera says of its time zone is the same for all of its photos
  expect(lightOfSitting('2026-05-01T10:20:00', [shot('2026-05-01T10:00:00+09:00', 'lamp')])).toBe('lamp')
})

test('else it is the one used last that day, and none of another day or of later', () => {
  const shots = [shot('2026-05-01T09:00:00', 'window'), shot('2026-05-01T10:00:00', 'lamp')]
  expect(lightOfSitting('2026-05-01T17:00:00', shots)).toBe('lamp')
  expect(lightOfSitting('2026-05-01T09:31:00', [...shots, shot('2026-05-01T15:00:00', 'booth')])).toBe('lamp')
  expect(lightOfSitting('2026-05-01T08:00:00', shots)).toBeNull()
  expect(lightOfSitting('2026-05-02T09:00:00', shots)).toBeNull()
  expect(lightOfSitting('2026-05-02T09:00:00', [])).toBeNull()
})

const photo = (id: string, takenAt: string | null, more: { view?: 'face' | 'flop'; addedAt?: string } = {}) => ({
  id,
  name: `${id}.jpg`,
  takenAt,
  addedAt: '2026-05-01T20:00:00.000Z',
  view: 'face' as const,
  ...more,
})
const filed = (id: string, takenAt: string) => ({ ...photo(id, takenAt), panelId: 'panel' })

test('of photos of one panel in the tray, or one that is filed, of the same view and sitting, none is sure', () => {
  const [a, b, c] = [
    photo('a', '2026-05-01T10:00:00'),
    photo('b', '2026-05-01T10:05:00'),
    photo('c', '2026-05-01T10:09:00'),
  ]
  const tray = [a, b, c]
  expect(retakeOf(a, [a], [])).toBeNull()
  // the first is no surer than those that were taken after it
  expect(retakeOf(a, tray, [])).toEqual({ photoId: 'b', name: 'b.jpg', filed: false })
  // nothing can be filed from one without a panel
  expect(retakeOf(a, [a, b], [], () => false)).toBeNull()
  expect(retakeOf(b, tray, [])).toEqual({ photoId: 'a', name: 'a.jpg', filed: false })
  expect(retakeOf(c, tray, [])).toEqual({ photoId: 'b', name: 'b.jpg', filed: false })
  expect(retakeOf(photo('d', '2026-05-01T10:20:00', { view: 'flop' }), tray, [])).toBeNull()
  expect(retakeOf(photo('d', '2026-05-01T22:20:00'), tray, [])).toBeNull()
  // one that is filed counts whichever was taken first
  expect(retakeOf(a, tray, [filed('f', '2026-05-01T11:00:00')])).toMatchObject({ photoId: 'f', filed: true })
  expect(retakeOf(a, [a], [filed('f', '2026-05-03T11:00:00')])).toBeNull()
})

test('without the camera’s clock photos came when they came in', () => {
  const early = photo('x', null, { addedAt: '2026-05-01T20:00:00.000Z' })
  const late = photo('y', null, { addedAt: '2026-05-01T20:00:00.001Z' })
  expect(retakeOf(late, [early, late], [])?.photoId).toBe('x')
  expect(retakeOf(early, [early, late], [])?.photoId).toBe('y')
})

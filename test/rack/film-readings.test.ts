import { expect, test } from 'vitest'
import { readFilmRack } from '../../electron/rack/queries/film-observations.ts'
import { removePanel } from '../../electron/rack/queries/panels.ts'
import { addPhoto } from '../../electron/rack/queries/photos.ts'
import { hang, reading, steps } from './film-panels.ts'
import { freshRack, newPhoto } from './fresh.ts'

/** Which readings of a rack the film model is told, and how far it is to trust them. */

test('retired panels teach; planned ones and those in the trash do not', async () => {
  const rack = await freshRack()
  await hang(rack, { title: 'kept', status: 'retired' })
  await hang(rack, { title: 'planned', status: 'planned' })
  const trash = await hang(rack, { title: 'trash' })
  await rack.change({ label: 'remove' }, (change) => removePanel(change, trash))
  const { library, steps: all } = await rack.read(readFilmRack)
  expect(library.observations).toHaveLength(2)
  expect(all.map(({ code }) => code)).toEqual(['P-0001', 'P-0001'])
})

test('only readings of the face that somebody calibrated count; wet paint only where nobody read it dry', async () => {
  const rack = await freshRack()
  await hang(rack, { steps: steps(1, 2, 3, 4) }, ([a = '', b = '', c = '', d = '']) => [
    reading(a, { id: 'a-flop', view: 'flop' }),
    reading(a, { id: 'a-wet', stage: 'wet' }),
    reading(a, { id: 'a-dry', stage: 'dry' }),
    reading(a, { id: 'a-cured', stage: 'cured' }),
    reading(b, { id: 'b-wet', stage: 'wet' }),
    reading(b, { id: 'b-guess', level: 'predicted' }),
    reading(c, { id: 'c-bare', level: 'uncalibrated' }),
    reading(d, { id: 'd-glare', view: 'near-glare' }),
  ])
  const { library, leftOut } = await rack.read(readFilmRack)
  expect(library.observations.map(({ id, finish }) => `${id} ${finish}`).toSorted()).toEqual([
    'a-cured cleared',
    'a-dry uncleared',
    'b-wet uncleared',
  ])
  expect(leftOut.map(({ why }) => why)).toEqual([
    expect.stringContaining('without a card'),
    expect.stringContaining('near the glare'),
  ])
})

test('a spectrum tells the colour under D50, whatever was typed beside it; without one another illuminant is left out', async () => {
  const rack = await freshRack()
  const flat = { startNm: 400, stepNm: 10, values: Array.from({ length: 31 }, () => 0.5) }
  await hang(rack, {}, ([a = '', b = '']) => [
    reading(a, { illuminant: 'D65', observer: '10', lab: { l: 1, a: 2, b: 3 }, spectrum: flat }),
    reading(b, { illuminant: 'D65' }),
  ])
  const { library, leftOut } = await rack.read(readFilmRack)
  expect(library.observations).toHaveLength(1)
  // CIE 15: L* = 116 Y^(1/3) − 16 of a flat half
  const { lab } = library.observations[0]!
  expect(lab.l).toBeCloseTo(116 * 0.5 ** (1 / 3) - 16, 6)
  expect(Math.hypot(lab.a, lab.b)).toBeLessThan(1e-6)
  expect(leftOut.map(({ why }) => why)).toEqual([expect.stringContaining('another illuminant')])
})

test('readings of one photo share what is the photo’s: own² + photo² + set-up² is the whole', async () => {
  const rack = await freshRack()
  await rack.change({ label: 'photo' }, (change) => addPhoto(change, newPhoto('photo-1')))
  const part = (cause: string, de00: number, shared?: 'photo' | 'set-up') => ({ cause, de00, words: '', shared })
  await hang(rack, {}, ([a = '', b = '']) => [
    reading(a, { photoId: 'photo-1', level: 'card', bound90: 5, parts: [part('card', 3, 'photo'), part('grain', 4)] }),
    reading(b, { bound90: 0.1, parts: [part('typed', 0.1)] }),
  ])
  const { library } = await rack.read(readFilmRack)
  const [first, second] = library.observations.toSorted((x, y) => y.noise - x.noise)
  expect(first?.noise).toBeCloseTo(4 / 1.57, 9)
  expect(first?.shared).toEqual([{ by: 'photo photo-1', noise: expect.closeTo(3 / 1.57, 9) }])
  // nothing is read better than the eye and the panel allow
  expect(second).toMatchObject({ noise: 0.3, shared: [] })
})

/** Looking at photo files by a worker. Pictures are rendered here; their outlines are known. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { sharp } from '../../electron/photos/open.ts'
import { endLooking, lookAt } from '../../electron/photos/propose/look-at.ts'
import { overlapOf } from '../../shared-core/find/things/overlap.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import { pictureOf, plain, seen } from './things-scene.ts'

const folder = mkdtempSync(join(tmpdir(), 'overground-look-'))
afterAll(async () => {
  await endLooking()
  rmSync(folder, { recursive: true, force: true })
})

const panelAt = seen([230, 210], 190, 285, 0.05, 0.2)
const picture = pictureOf(600, 450, [64, 1, 3], [{ quad: panelAt, at: plain(42, 50, 30) }])
const raw = sharp(picture.data, { raw: { width: 600, height: 450, channels: 3 } })
const path = (name: string) => join(folder, name)

/** Where a point of the picture lies once it was turned a quarter to the right. */
const turned = (quad: Quad): Quad => quad.map(([x, y]) => [450 - y, x]) as Quad

describe('a photo file', () => {
  it('that lies on its side is looked at upright, in pixels of the upright photo', async () => {
    writeFileSync(path('side.jpg'), await raw.clone().withMetadata({ orientation: 6 }).jpeg({ quality: 95 }).toBuffer())
    const { panels, sheet, symbols } = await lookAt(path('side.jpg'))
    expect(overlapOf(panels[0]!.quad, turned(panelAt))).toBeGreaterThan(0.95)
    expect([sheet, symbols]).toEqual([null, []])
  })

  it.each([
    ['16 bits', () => raw.clone().toColourspace('rgb16').png()],
    ['grey', () => raw.clone().toColourspace('b-w').png()],
    ['WebP', () => raw.clone().webp({ lossless: true })],
    ['TIFF', () => raw.clone().tiff()],
  ])('of other kinds: %s', async (name, encoded) => {
    writeFileSync(path(name), await encoded().toBuffer())
    const { panels } = await lookAt(path(name))
    expect(overlapOf(panels[0]!.quad, panelAt)).toBeGreaterThan(0.95)
  })

  it('larger than what is looked at keeps its own pixels', async () => {
    writeFileSync(path('large.jpg'), await raw.clone().resize(3000, 2250).jpeg().toBuffer())
    const { panels } = await lookAt(path('large.jpg'))
    const larger = panelAt.map(([x, y]) => [5 * x, 5 * y]) as Quad
    expect(overlapOf(panels[0]!.quad, larger)).toBeGreaterThan(0.95)
  })
})

describe('what is no photo', () => {
  it('is refused by its code, and the next photo is looked at', async () => {
    writeFileSync(path('words.jpg'), 'no picture')
    writeFileSync(path('next.png'), await raw.clone().png().toBuffer())
    const [refused, next] = await Promise.allSettled([lookAt(path('words.jpg')), lookAt(path('next.png'))])
    expect(refused).toMatchObject({ status: 'rejected', reason: { code: 'photo/not-a-picture' } })
    expect(next.status).toBe('fulfilled')
  })

  it('is not looked at any more when nobody wants it', async () => {
    const stopped = new AbortController()
    const waiting = lookAt(path('next.png'), stopped.signal)
    stopped.abort(new Error('gone'))
    await expect(waiting).rejects.toThrow('gone')
    expect((await lookAt(path('next.png'))).panels).not.toEqual([])
  })
})

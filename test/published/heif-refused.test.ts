/** HEIC files that cannot be read, made after ISO/IEC 23008-12 and then spoilt: each is refused, with what to do. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { decodePhoto } from '../../electron/photos/decode.ts'
import { askHeifWorker } from '../../electron/photos/heif/ask-worker.ts'
import { inspectPhoto } from '../../electron/photos/inspect.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { box, codePointsProperty, gridItem, heifFile, pictureItem } from './heif/heif-bytes.ts'
import { busy, p3, rgbPicture, type Triple } from './heif/rgb-picture.ts'

const folder = mkdtempSync(join(tmpdir(), 'heif-refused-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const keep = (name: string, bytes: Uint8Array) => {
  const path = join(folder, name)
  writeFileSync(path, bytes)
  return path
}
const codeOf = async (path: string): Promise<string> => {
  const error: unknown = await inspectPhoto(path).then(
    () => null,
    (thrown: unknown) => thrown,
  )
  expect(error).toBeInstanceOf(Refusal)
  const { code, remedy } = error as Refusal
  expect(remedy.length).toBeGreaterThan(10)
  return code
}

const [width, height] = [56, 40]
const simple = (points: Triple = p3) =>
  heifFile([pictureItem(1, rgbPicture(width, height, busy), [codePointsProperty(points)])], 1)

describe('what cannot be read is refused, and only that photo', () => {
  it('a file cut anywhere', async () => {
    const whole = simple()
    for (const share of [0.01, 0.05, 0.3, 0.9, 0.999])
      expect(await codeOf(keep('cut.heic', whole.subarray(0, Math.floor(whole.length * share))))).toMatch(
        /^photo\/(damaged|not-a-picture)$/,
      )
  })

  it('a picture whose head is damaged', async () => {
    const picture = pictureItem(1, rgbPicture(width, height, busy))
    const broken = heifFile([picture], 1)
    // header of the coded slice, right after its length of four bytes
    broken.fill(0xa5, broken.length - picture.data.length + 4, broken.length - picture.data.length + 40)
    expect(await codeOf(keep('broken.heic', broken))).toBe('photo/damaged')
  })

  it('another coding: a picture in AV1, and one in something unheard of', async () => {
    const picture = pictureItem(1, rgbPicture(width, height, busy))
    const [, size] = picture.properties ?? []
    const av1 = { ...picture, type: 'av01', properties: [box('av1C', Buffer.from([0x81, 0, 12, 0])), size as Buffer] }
    expect(await codeOf(keep('av1.heic', heifFile([av1], 1)))).toBe('photo/heif-coding')
    expect(await codeOf(keep('new.heic', heifFile([{ ...picture, type: 'xyzw' }], 1)))).toBe('photo/heif-coding')
  })

  it('more pixels than anybody decodes, told from the header', async () => {
    const tiles = [1, 2, 3, 4].map((id) => pictureItem(id, rgbPicture(64, 64, busy)))
    const grid = gridItem(9, [1, 2, 3, 4], { rows: 2, columns: 2, width: 40_000, height: 40_000 })
    expect(await codeOf(keep('huge.heic', heifFile([...tiles, grid], 9)))).toBe('photo/too-large')
  })

  it('bytes that mean nothing', async () => {
    const noise = Buffer.from(simple())
    for (let i = 40; i < noise.length; i++) noise[i] = (i * 7919) & 255
    expect(await codeOf(keep('noise.heic', noise))).toMatch(/^photo\/(damaged|heif-coding)$/)
  })

  it('work without end is ended, and the next photo is read', async () => {
    const path = keep('slow.heic', simple())
    const task = { what: 'check', path, mostPixels: 1e8 } as const
    expect(await askHeifWorker(task, { limitMs: 0 })).toMatchObject({ ok: false, text: 'took too long' })
    expect(await askHeifWorker(task, { limitMs: 60_000 })).toMatchObject({ ok: true })
  })

  it('stops when it is told to', async () => {
    const path = keep('stop.heic', simple())
    const stop = new AbortController()
    const asked = decodePhoto(path, undefined, undefined, stop.signal)
    stop.abort(new Error('enough'))
    await expect(asked).rejects.toThrow('enough')
  })

  it.each([
    ['PQ', 16],
    ['HLG', 18],
  ])('%s is refused', async (_, transfer) => {
    expect(await codeOf(keep('hdr.heic', simple([9, transfer, 0])))).toBe('photo/hdr')
  })
})

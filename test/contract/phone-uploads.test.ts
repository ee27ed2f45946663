import { randomBytes } from 'node:crypto'
import { rmSync, writeFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { describe, expect, test, vi } from 'vitest'
import { sweepStaging } from '../../electron/service/link/app-folder.ts'
import {
  type DoorBench,
  doorBench,
  lines,
  newId,
  openSocket,
  type PhoneClient,
  say,
  sha256,
  statusOf,
} from './phone-bench.ts'

/** Pictures on their way from a phone: each arrives whole, once, whatever breaks; nothing else arrives. */

/** Begins as a JPEG does; whether it is one to its end is for the intake. */
const photo = Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), randomBytes(60_000)])

const announced = async (phone: PhoneClient, bytes: Uint8Array, name = 'a.jpg') => {
  const id = newId()
  expect((await phone.ask('/announce', { id, name, size: bytes.length })).status).toBe(200)
  return id
}
const offsetOf = async (phone: PhoneClient, id: string, size = photo.length) =>
  (await phone.ask('/announce', { id, name: 'a.jpg', size })).body.offset
const finish = (phone: PhoneClient, id: string, bytes: Uint8Array) =>
  phone.ask('/finish', { id, sha256: sha256(bytes), panel: '', light: '' })
const bytesOf = ({ kept }: DoorBench) => kept.map(({ bytes }) => bytes)

test('it arrives byte for byte, with the words that were typed', async () => {
  const door = await doorBench()
  const phone = await door.phone()
  await phone.send(photo, { name: '../../Shot 7.jpg', panel: 'P-0042', light: 'booth\u0000 tubes ', pieceBytes: 7000 })
  expect(bytesOf(door)).toEqual([photo])
  const [{ file }] = door.kept as [DoorBench['kept'][0]]
  expect(file).toMatchObject({ name: '../../Shot 7.jpg', panel: 'P-0042', light: 'booth  tubes', phone: 'Browser 1' })
  // in a folder of its own: what takes it from there may remove that whenever it likes
  expect(basename(file.path)).toBe('Shot 7.jpg')
  expect(door.waiting()).toEqual([basename(dirname(file.path))])
  expect(dirname(dirname(file.path))).toBe(door.staging)
  door.newCode()
  expect(door.state().phones).toMatchObject([{ arrived: 1, coming: 0 }])
})

test('it has not arrived while the rack cannot have it, and is asked for again', async () => {
  const door = await doorBench()
  const phone = await door.phone()
  door.fails({ code: 'rack/disk-full', message: 'The drive is full.', remedy: 'Make room.' })
  const id = newId()
  await expect(phone.send(photo, { id })).rejects.toThrow('503')
  expect((await phone.ask('/fates', { ids: [id] })).body).toMatchObject({ fates: { [id]: { state: 'whole' } } })
  door.fails(null)
  expect((await finish(phone, id, photo)).body).toMatchObject({ state: 'kept' })
  expect(bytesOf(door)).toEqual([photo])
})

describe('pieces', () => {
  test('out of order, twice, overlapping, or beyond the end are not taken; it goes on where it was', async () => {
    const door = await doorBench()
    const phone = await door.phone()
    const id = await announced(phone, photo)
    const size = 10_000
    const piece = (at: number, length = size) => phone.piece(id, at, photo.subarray(at, at + length))
    expect((await piece(size)).body.error?.code).toBe('phone/other-place')
    expect((await piece(0)).body).toMatchObject({ offset: size })
    expect((await piece(0)).status).toBe(409)
    expect((await piece(size / 2)).status).toBe(409)
    expect((await finish(phone, id, photo)).status).toBe(409)
    // each of them gives up the one before: cut off, or at the wrong place by then
    const all = await Promise.allSettled([piece(size), piece(size), piece(size)])
    expect(all.filter((one) => one.status === 'fulfilled' && one.value.status === 200).length).toBeLessThanOrEqual(1)
    const offset = await offsetOf(phone, id)
    for (let at = Number(offset); at < photo.length; at += size) expect((await piece(at)).status).toBe(200)
    expect((await phone.piece(id, photo.length, new Uint8Array(1))).status).toBe(400)
    for (const odd of ['', '-1', '1e3', '0x1', ' 0', '1.5', 'NaN'])
      expect((await phone.ask(`/piece?id=${id}&offset=${odd}`, {})).status).toBe(400)
    expect((await finish(phone, id, photo)).body).toMatchObject({ state: 'kept' })
    // asked again, as a phone does that missed the answer
    expect((await finish(phone, id, photo)).body).toMatchObject({ state: 'kept' })
    expect(bytesOf(door)).toEqual([photo])
  })

  test('a connection that is cut in the middle of one loses nothing that came before', async () => {
    const door = await doorBench()
    const phone = await door.phone()
    const id = await announced(phone, photo)
    const half = Math.floor(photo.length / 2)
    const socket = openSocket(door.port)
    socket.write(
      lines(
        `POST /piece?id=${id}&offset=0 HTTP/1.1`,
        `Host: ${door.host}`,
        `Origin: http://${door.host}`,
        `X-Phone: ${phone.secret}`,
        'Content-Type: application/octet-stream',
        `Content-Length: ${photo.length}`,
      ),
    )
    socket.write(photo.subarray(0, half))
    // a phone that has lost its network says nothing: the connection stays, and the next one takes its place
    const standing = async () => Number(await offsetOf(phone, id))
    await new Promise((resolve) => setTimeout(resolve, 150))
    const taken = await phone.piece(id, half, photo.subarray(half))
    const at = taken.status === 200 ? photo.length : await standing()
    expect(at).toBeGreaterThanOrEqual(half)
    if (at < photo.length) await phone.piece(id, at, photo.subarray(at))
    expect((await finish(phone, id, photo)).body).toMatchObject({ state: 'kept' })
    expect(bytesOf(door)).toEqual([photo])
  })

  test('damaged on its way: found by its SHA-256, and sent once more', async () => {
    const door = await doorBench()
    const phone = await door.phone()
    const id = await announced(phone, photo)
    const damaged = Buffer.from(photo)
    damaged[4000]! ^= 1
    await phone.piece(id, 0, damaged)
    expect((await finish(phone, id, photo)).body.error?.code).toBe('phone/damaged')
    expect(await offsetOf(phone, id)).toBe(0)
    expect((await phone.piece(id, 0, photo)).status).toBe(200)
    expect((await finish(phone, id, photo)).body).toMatchObject({ state: 'kept' })
    expect(bytesOf(door)).toEqual([photo])
  })

  test('a page that was opened anew with another code goes on with what it had', async () => {
    const door = await doorBench()
    const phone = await door.phone()
    const id = await announced(phone, photo)
    await phone.piece(id, 0, photo.subarray(0, 9000))
    const again = await door.phone()
    expect(await offsetOf(again, id)).toBe(9000)
    expect((await again.piece(id, 9000, photo.subarray(9000))).status).toBe(200)
    expect((await finish(again, id, photo)).body).toMatchObject({ state: 'kept' })
  })
})

describe('what is no picture', () => {
  test.each([
    ['a text file', Buffer.from('thinner stands by the door\n'.repeat(400))],
    ['a page', Buffer.from(`<!doctype html><script>alert(1)</script>${' '.repeat(3000)}`)],
    ['a drawing', Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg">${' '.repeat(3000)}</svg>`)],
    ['a program', Buffer.concat([Buffer.from('MZ'), randomBytes(5000)])],
    ['a short text that says it is a JPEG', Buffer.from('\xff\xd8')],
  ])('%s is refused after its first piece, and nothing of it stays', async (_, bytes) => {
    const door = await doorBench()
    const phone = await door.phone()
    const id = await announced(phone, bytes, 'IMG_0001.jpg')
    const { status, body } = await phone.piece(id, 0, bytes.subarray(0, 2000))
    expect([status, body.error?.code]).toEqual([415, 'phone/not-a-picture'])
    expect((await phone.piece(id, 2000, bytes.subarray(2000))).status).not.toBe(200)
    expect((await finish(phone, id, bytes)).body).toMatchObject({ state: 'refused' })
    expect(door.waiting()).toEqual([])
    expect(door.kept).toEqual([])
  })
})

describe('too much', () => {
  const head = (door: DoorBench, phone: PhoneClient, id: string, ...more: string[]) =>
    lines(
      `POST /piece?id=${id}&offset=0 HTTP/1.1`,
      `Host: ${door.host}`,
      `Origin: http://${door.host}`,
      `X-Phone: ${phone.secret}`,
      'Content-Type: application/octet-stream',
      'Connection: close',
      ...more,
    )
  test('two gigabytes, announced or streamed, are not waited for', async () => {
    const door = await doorBench()
    const phone = await door.phone()
    const huge = 2 * 1024 ** 3
    expect((await phone.ask('/announce', { id: newId(), name: 'a.jpg', size: huge })).status).toBe(413)
    const id = newId()
    await phone.ask('/announce', { id, name: 'a.jpg', size: 80 * 1024 ** 2 })
    expect(statusOf(await say(door.port, head(door, phone, id, `Content-Length: ${huge}`)))).toBe(413)
    // without a length: cut off at a piece's size
    const socket = openSocket(door.port)
    const chunk = Buffer.concat([Buffer.from('10000\r\n'), Buffer.alloc(0x10000, 0xff), Buffer.from('\r\n')])
    chunk.set([0xff, 0xd8, 0xff], 7)
    let sent = 0
    let heard = ''
    socket.on('data', (data) => {
      heard += String(data)
    })
    const over = new Promise((resolve) => socket.once('close', resolve))
    socket.write(head(door, phone, id, 'Transfer-Encoding: chunked'))
    const more = () => {
      while (!socket.destroyed && sent < huge) {
        sent += 0x10000
        if (!socket.write(chunk)) return void socket.once('drain', more)
      }
    }
    more()
    await over
    expect(sent).toBeLessThan(200 * 1024 ** 2)
    expect(heard === '' || statusOf(heard) === 413).toBe(true)
    const { offset } = (await phone.ask('/announce', { id, name: 'a.jpg', size: 80 * 1024 ** 2 })).body
    expect(Number(offset)).toBeLessThanOrEqual(1024 ** 2)
  })
  test('in all, in number, and on their way at once', async () => {
    const door = await doorBench({ sessionBytes: 200_000, halfFiles: 2 })
    const phone = await door.phone()
    const announce = (id: string, size = 60_000) => phone.ask('/announce', { id, name: 'a.jpg', size })
    const code = async (...of: Parameters<typeof announce>) => (await announce(...of)).body.error?.code
    const [first, second, third] = [newId(), newId(), newId()]
    expect(await code(newId(), 300_000)).toBe('phone/too-much')
    expect(await code(newId(), 0)).toBe('phone/empty')
    expect([await code(first), await code(second)]).toEqual([undefined, undefined])
    await phone.piece(first, 0, photo.subarray(0, 9000))
    // what rests longest gives way: a picture that was left out, or a page that was closed
    expect(await code(third)).toBeUndefined()
    expect(door.waiting().toSorted()).toEqual([`phone-${first}`, `phone-${third}`].toSorted())
    expect((await phone.piece(second, 0, photo)).body.error?.code).toBe('phone/unknown-picture')
    expect((await announce(first)).body.offset).toBe(9000)
    // but nothing that is coming in at present
    for (const [id, at] of [
      [first, 9000],
      [third, 0],
    ] as const) {
      const socket = openSocket(door.port)
      socket.write(head(door, phone, id, 'Content-Length: 5000').replace('offset=0', `offset=${at}`))
      socket.write(photo.subarray(at, at + 900))
    }
    await vi.waitUntil(async () => {
      const { fates } = (await phone.ask('/fates', { ids: [first, third] })).body as {
        fates: Record<string, { offset: number }>
      }
      return fates[first]?.offset === 9900 && fates[third]?.offset === 900
    })
    expect(await code(newId())).toBe('phone/too-many-begun')
    expect(door.waiting().toSorted()).toEqual([`phone-${first}`, `phone-${third}`].toSorted())
  })
  test('slow to come: a head, a body, its next byte', async () => {
    const door = await doorBench({ headMs: 200, bodyIdleMs: 150, bodyMs: 600, lookEveryMs: 40 })
    const phone = await door.phone()
    const id = await announced(phone, photo)
    expect(statusOf(await say(door.port, head(door, phone, id, 'Content-Length: 5000'), photo.subarray(0, 9)))).toBe(
      408,
    )
    expect(statusOf(await say(door.port, 'POST /pa'))).toBe(408)
    const drip = await new Promise<string>((resolve) => {
      const socket = openSocket(door.port)
      let heard = ''
      socket.on('data', (data) => {
        heard += String(data)
      })
      socket.write(head(door, phone, id, 'Content-Length: 5000'))
      const drops = setInterval(() => socket.write('x'), 40)
      socket.once('close', () => {
        clearInterval(drops)
        resolve(heard)
      })
    })
    expect([0, 408, 409]).toContain(statusOf(drip))
  })
  test('large JSON, ids that are none, and names that lead elsewhere', async () => {
    const door = await doorBench()
    const phone = await door.phone()
    expect((await phone.ask('/announce', { id: newId(), name: 'a'.repeat(9000), size: 1 })).status).toBe(413)
    for (const id of ['', '../../x', 'A'.repeat(32), `${newId()}0`, '0'.repeat(31), null, 7])
      expect((await phone.ask('/announce', { id, name: 'a', size: 9 })).status).toBe(400)
    for (const size of [-1, 1.5, '9', null, Number.MAX_SAFE_INTEGER])
      expect([400, 413]).toContain((await phone.ask('/announce', { id: newId(), name: 'a', size })).status)
  })
})

test('one that could not be begun is none: once there is room it arrives, and it keeps no other out', async () => {
  const door = await doorBench({ halfFiles: 1 })
  const phone = await door.phone()
  const id = newId()
  const announce = async (of: string) =>
    (await phone.ask('/announce', { id: of, name: 'a.jpg', size: photo.length })).status
  // a file where its folder should be: it cannot be made
  writeFileSync(join(door.staging, `phone-${id}`), '')
  expect(await announce(id)).toBe(507)
  expect((await phone.piece(id, 0, photo)).body.error?.code).toBe('phone/unknown-picture')
  expect((await phone.ask('/fates', { ids: [id] })).body).toEqual({ fates: {} })
  rmSync(join(door.staging, `phone-${id}`))
  await phone.send(photo, { id })
  expect(bytesOf(door)).toEqual([photo])
})

test('what was taken away from under it is sent from where it is now', async () => {
  const door = await doorBench()
  const phone = await door.phone()
  const id = await announced(phone, photo)
  await phone.piece(id, 0, photo.subarray(0, 9000))
  rmSync(join(door.staging, `phone-${id}`), { recursive: true })
  expect((await phone.piece(id, 9000, photo.subarray(9000))).body.error?.code).toBe('phone/other-place')
  expect(await offsetOf(phone, id)).toBe(0)
  await phone.send(photo, { id })
  expect(bytesOf(door)).toEqual([photo])
})

test('what was left half done is dropped when its phone says so, and swept after a day when it does not', async () => {
  const door = await doorBench()
  const phone = await door.phone()
  const id = await announced(phone, photo)
  const stays = await announced(phone, photo)
  await phone.piece(id, 0, photo.subarray(0, 5000))
  expect(door.waiting().toSorted()).toEqual([`phone-${id}`, `phone-${stays}`].toSorted())
  expect((await phone.ask('/drop', { id })).status).toBe(200)
  expect(door.waiting()).toEqual([`phone-${stays}`])
  await sweepStaging(door.staging, Date.now() + 25 * 3600 * 1000)
  expect(door.waiting()).toEqual([])
})

import { mkdirSync, readdirSync, readFileSync, readlinkSync } from 'node:fs'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import sharp from 'sharp'
import { beforeAll, expect, onTestFinished, test, vi } from 'vitest'
import { readHints } from '../../electron/rack/queries/hints.ts'
import { listTray } from '../../electron/rack/queries/photos.ts'
import { openContext } from '../../electron/service/context.ts'
import type { Output } from '../../shared-core/contract/calls.ts'
import { type ServiceProcess, startService } from '../faults/service-process.ts'
import { freshFolder, workFolder } from '../rack/fresh.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { panelPhoto } from './panel-photo.ts'
import { ask, newId, type PhoneClient, pairedPhone, sha256 } from './phone-bench.ts'

/** From a phone into the tray, through the whole service: the door in its thread, the intake, the rack. */
const desk = workFolder()
let photo: Buffer
beforeAll(async () => {
  photo = readFileSync(await panelPhoto(join(desk, 'photo.png'), 11, 600, 400))
})

const doorOf = ({ link }: Output<'phone.state'>) => {
  const { port, hash } = new URL(link ?? 'http://none:1/#')
  return { port: Number(port), token: hash.slice(1) }
}
async function withRack(): Promise<BenchService> {
  const bench = await benchService({ phone: { withLoopback: true } })
  await bench.call('rack.create', { folder: join(bench.folder, 'rack'), name: 'Quill rack' })
  return bench
}
const turnOn = async ({ call }: BenchService): Promise<{ port: number; phone: PhoneClient }> => {
  const { port, token } = doorOf(await call('phone.turnOn', { address: '127.0.0.1' }))
  return { port, phone: await pairedPhone(port, token) }
}
const originalsIn = (folder: string, photos: ReadonlyArray<{ sha256: string; format: string }>) =>
  photos.map(({ sha256: hash, format }) =>
    readFileSync(join(folder, 'rack', 'photos', hash.slice(0, 2), `${hash}.${format}`)),
  )

/** Ports on which this process listens, as Linux tells them (proc(5): net/tcp, state 0A is LISTEN). */
function listening(): string[] {
  const inodes = new Set<string>()
  for (const fd of readdirSync('/proc/self/fd'))
    try {
      const inode = /^socket:\[(\d+)\]$/.exec(readlinkSync(`/proc/self/fd/${fd}`))?.[1]
      if (inode !== undefined) inodes.add(inode)
    } catch {
      // closed meanwhile
    }
  return ['tcp', 'tcp6'].flatMap((kind) =>
    readFileSync(`/proc/self/net/${kind}`, 'utf8')
      .split('\n')
      .slice(1)
      .map((line) => line.trim().split(/\s+/))
      .filter((columns) => columns[3] === '0A' && inodes.has(columns[9] ?? ''))
      .map((columns) => columns[1] ?? ''),
  )
}

test.runIf(process.platform === 'linux')(
  'nothing listens until it is turned on, then one address alone, and nothing once it or the rack is closed',
  async () => {
    const before = listening()
    const bench = await withRack()
    const { call, refusal } = bench
    expect(await call('phone.state', {})).toMatchObject({ isOn: false, link: null, symbol: [], phones: [], said: null })
    for (const name of ['phone.keepOn', 'phone.newCode'])
      expect(await refusal(name, {})).toMatchObject({ code: 'phone/off' })
    for (const address of ['0.0.0.0', '::', '', '127.0.0.2', '203.0.113.77', 'localhost', '127.0.0.1:80'])
      expect(await refusal('phone.turnOn', { address })).toMatchObject({ code: 'phone/address-gone' })
    expect(listening()).toEqual(before)
    const { port } = await turnOn(bench)
    // proc(5) writes an IPv4 address as a number in the machine's own order
    const written = `0100007F:${port.toString(16).toUpperCase().padStart(4, '0')}`
    expect(listening().filter((one) => !before.includes(one))).toEqual([written])
    await call('phone.turnOff', {})
    expect(listening()).toEqual(before)
    // a page that is still open finds its door again
    expect((await turnOn(bench)).port).toBe(port)
    await call('rack.close', {})
    expect(listening()).toEqual(before)
    expect((await call('phone.state', {})).isOn).toBe(false)
    await expect(ask(port, '/pair', { token: '' })).rejects.toThrow('fetch failed')
    expect(await refusal('phone.turnOn', { address: '127.0.0.1' })).toMatchObject({ code: 'rack/none-open' })
  },
)

test('a picture comes into the tray as it is, once, with what was typed; its phone hears how it was taken', async () => {
  const bench = await withRack()
  const { call, folder } = bench
  const { phone } = await turnOn(bench)
  const good = await phone.send(photo, { name: 'Shot 7.png', panel: 'P-0042', light: 'tubes' })
  // nobody looks for the card in this test: that is all that is said
  expect(await phone.fate(good)).toMatchObject({ state: 'kept', isGood: true })
  const { photos } = await call('photos.listTray', {})
  expect(originalsIn(folder, photos)).toEqual([photo])
  expect(photos[0]?.name).toBe('Shot 7.png')
  const hints = await readHints(bench.context.rack().db, [photos[0]!.id])
  expect(hints.get(photos[0]!.id)).toEqual({ cameFrom: 'phone', panel: 'P-0042', light: 'tubes' })

  expect((await phone.fate(await phone.send(photo))).words).toContain('there already')
  const broken = await phone.fate(await phone.send(Buffer.concat([photo.subarray(0, 3000), Buffer.alloc(900, 7)])))
  expect(broken).toMatchObject({ state: 'refused', isGood: false, words: expect.stringMatching(/damaged|cut|read/i) })
  const word = async (picture: ReturnType<typeof sharp>) =>
    (await phone.fate(await phone.send(await picture.jpeg({ quality: 97 }).toBuffer(), { name: 'a.jpg' }))).words
  expect(await word(sharp(photo).linear(0.25))).toMatch(/^Too dark/)
  expect(await word(sharp(photo).linear(6))).toMatch(/^Too bright/)
  const stripes = Buffer.alloc(600 * 400 * 3)
  for (let i = 0; i < 600 * 400; i++) stripes.fill((i % 600) % 120 < 60 ? 60 : 170, i * 3, i * 3 + 3)
  const drawn = () => sharp(stripes, { raw: { width: 600, height: 400, channels: 3 } })
  expect(await word(drawn())).toMatch(/^Sharp/)
  expect(await word(drawn().blur(9))).toMatch(/^Blurred/)

  const { pictures, phones } = await call('phone.state', {})
  expect(pictures.map(({ name }) => name).at(-1)).toBe('Shot 7.png')
  expect(pictures.at(-1)).toMatchObject({ photoId: photos[0]!.id, sha256: sha256(photo), isGood: true })
  expect(phones).toMatchObject([{ name: 'Browser 1' }])
  await vi.waitUntil(() => readdirSync(join(folder, 'app', 'staging')).length === 0)

  // what came in a row is one step to undo; what was done in between stands between
  await call('photos.discard', { photoId: photos[0]!.id })
  await phone.fate(await phone.send(Buffer.from(await sharp(photo).negate().png().toBuffer())))
  const undo = async () => (await call('history.undo', {})).label
  const labels = [await undo(), await undo(), await undo()]
  expect(labels).toEqual(['take in a photo from a phone', 'discard Shot 7.png', 'take in 5 photos from a phone'])
  expect((await call('photos.listTray', {})).photos).toEqual([])
})

test('a rack that is being closed takes nothing more, and the phone keeps it', async () => {
  const bench = await withRack()
  const { call, context, folder } = bench
  const { phone } = await turnOn(bench)
  await phone.send(photo)
  // closing waits for whoever still looks at photos
  let goOn = () => {}
  const held = new Promise<void>((resolve) => (goOn = resolve))
  const leaving = vi.spyOn(context.proposals, 'leave').mockImplementationOnce(() => held)
  const closing = call('rack.close', {})
  await vi.waitUntil(() => leaving.mock.calls.length > 0)
  onTestFinished(() => goOn())
  await expect(phone.send(Buffer.concat([photo, Buffer.from('another')]))).rejects.toThrow('fetch failed')
  goOn()
  await closing
  expect(context.jobs.list().filter(({ state }) => state === 'running')).toEqual([])
  await call('rack.open', { folder: join(folder, 'rack') })
  await vi.waitUntil(() => context.jobs.list().every(({ state }) => state !== 'running'))
  expect(originalsIn(folder, (await call('photos.listTray', {})).photos)).toEqual([photo])
})

/** Asks so often, a thousand times a second, on eight connections; a beat that comes late makes up for it. */
const floodCode = `
const { workerData, parentPort } = require('node:worker_threads')
const { connect } = require('node:net')
const { port, times } = workerData
const head = '\\r\\nHost: 127.0.0.1:' + port + '\\r\\nOrigin: http://127.0.0.1:' + port + '\\r\\nX-Phone: guess\\r\\n'
const requests = [
  'GET /call/rack.describe HTTP/1.1' + head + '\\r\\n',
  'POST /fates HTTP/1.1' + head + 'Content-Type: application/json\\r\\nContent-Length: 2\\r\\n\\r\\n{}',
]
const statuses = {}
const hear = (text) => { for (const [, status] of String(text).matchAll(/HTTP\\/1\\.1 (\\d{3})/g)) statuses[status] = (statuses[status] || 0) + 1 }
const open = () => connect(port, '127.0.0.1').on('data', hear).on('error', () => {})
const sockets = Array.from({ length: 8 }, open)
const began = Date.now()
let sent = 0
const beat = setInterval(() => {
  for (const due = Math.min(times, Date.now() - began); sent < due; sent++) {
    const i = sent % sockets.length
    if (sockets[i].destroyed) sockets[i] = open()
    sockets[i].write(requests[sent % 10 === 0 ? 1 : 0])
  }
  if (sent < times) return
  clearInterval(beat)
  setTimeout(() => { sockets.forEach((s) => s.destroy()); parentPort.postMessage(statuses) }, 200)
}, 10)
`

test('a thousand requests a second keep neither the window nor a phone that is connected from going on', async () => {
  const bench = await withRack()
  const { call, folder } = bench
  const { port, phone } = await turnOn(bench)
  const median = async (count: number): Promise<number> => {
    const times: number[] = []
    for (let i = 0; i < count; i++) {
      const at = performance.now()
      await call('photos.listTray', {})
      times.push(performance.now() - at)
      await new Promise((resolve) => setTimeout(resolve, 5))
    }
    return times.toSorted((a, b) => a - b)[Math.floor(count / 2)]!
  }
  await median(10)
  const quiet = await median(30)
  const flood = new Worker(floodCode, { eval: true, workerData: { port, times: 1000 }, execArgv: [] })
  const over = new Promise<Record<string, number>>((resolve) => flood.once('message', resolve))
  const [during] = await Promise.all([median(30), phone.send(photo, { pieceBytes: 60_000 })])
  const statuses = await over
  await flood.terminate()
  // none was let in; those beyond the pace were sent away at once
  expect(Object.keys(statuses).filter((status) => !['401', '404', '429'].includes(status))).toEqual([])
  expect(statuses['429'] ?? 0).toBeGreaterThan((statuses['401'] ?? 0) + (statuses['404'] ?? 0))
  // a service that was blocked would answer in seconds: this is a ratio, with room for a machine that does other things
  expect(during / quiet).toBeLessThan(20)
  await vi.waitUntil(async () => (await call('photos.listTray', {})).photos.length === 1)
  expect(originalsIn(folder, (await call('photos.listTray', {})).photos)).toEqual([photo])
})

test('a service that is killed in the middle of one loses nothing: the phone goes on with it, and it is there once', async () => {
  vi.stubEnv('OVERGROUND_PHONE_LOOPBACK', '1')
  onTestFinished(() => void vi.unstubAllEnvs())
  const folder = freshFolder()
  mkdirSync(join(folder, 'app'))
  let service: ServiceProcess | undefined
  onTestFinished(async () => service?.kill())
  const start = async () => {
    service = startService(join(folder, 'app'))
    await service.call('rack.create', { folder: join(folder, 'rack'), name: 'Killed' })
    const door = doorOf((await service.call('phone.turnOn', { address: '127.0.0.1' })) as Output<'phone.state'>)
    return { port: door.port, phone: await pairedPhone(door.port, door.token) }
  }
  const [id, other] = [newId(), newId()]
  const second = await sharp(photo).negate().png().toBuffer()
  const before = await start()
  // told that it has arrived, a phone lets go of it: from there on the rack has it, whatever happens
  await before.phone.send(second, { id: other, name: 'b.png', panel: 'P-7' })
  await before.phone.ask('/announce', { id, name: 'a.png', size: photo.length })
  const half = Math.floor(photo.length / 2)
  await before.phone.piece(id, 0, photo.subarray(0, half))
  await service?.kill()
  await expect(before.phone.ask('/fates', { ids: [id] })).rejects.toThrow('fetch failed')

  const after = await openContext(join(folder, 'app'), () => undefined, { phone: { withLoopback: true }, lookAt: null })
  onTestFinished(() => after.close())
  await after.current.open(join(folder, 'rack'))
  expect((await after.phone.state()).isOn).toBe(false)
  const door = doorOf(await after.phone.turnOn(after.rack(), '127.0.0.1'))
  // the same address, so that the page's own store of pictures is the same
  expect(door.port).toBe(before.port)
  expect((await ask(door.port, '/fates', { ids: [] }, { 'x-phone': before.phone.secret })).status).toBe(401)
  const phone = await pairedPhone(door.port, door.token)
  expect((await phone.ask('/announce', { id, name: 'a.png', size: photo.length })).body.offset).toBe(half)
  await phone.send(photo, { id, name: 'a.png' })
  // a phone that missed the answer sends it once more, while what the first service began is gone on with
  await phone.send(second, { id: other, name: 'b.png' })
  await vi.waitUntil(() => {
    const jobs = after.jobs.list()
    return jobs.length > 2 && jobs.every(({ state }) => state === 'done')
  })
  const arrived = originalsIn(folder, await listTray(after.rack().db))
  expect(arrived.map(sha256).toSorted()).toEqual([photo, second].map(sha256).toSorted())
  expect(
    after.jobs
      .list()
      .flatMap(({ items }) => items.map(({ fate }) => fate))
      .toSorted(),
  ).toEqual(['duplicate', 'taken', 'taken'])
  await vi.waitUntil(() => readdirSync(join(folder, 'app', 'staging')).length === 0)
})

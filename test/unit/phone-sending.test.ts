import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import type { Picture } from '../../electron/phone/page/pictures.ts'
import type { Link } from '../../electron/phone/page/sending.ts'

/** How the phone's page sends: the computer at the other end is one that answers as this test says. */

type Reply = { status?: number; code?: string; state?: string; offset?: number }
let asked: string[]
let answers: Record<string, (times: number) => Reply | Promise<Reply>>

beforeEach(() => {
  vi.useFakeTimers()
  asked = []
  answers = {
    '/announce': () => ({ state: 'coming', offset: 0 }),
    '/piece': () => ({ state: 'coming', offset: 2000 }),
    '/finish': () => ({ state: 'kept', offset: 2000 }),
  }
  vi.stubGlobal('sessionStorage', { getItem: () => 'secret', setItem: () => undefined, removeItem: () => undefined })
  vi.stubGlobal('document', { hidden: true })
  vi.stubGlobal('fetch', async (address: string) => {
    const path = address.split('?')[0] ?? ''
    asked.push(path)
    const times = asked.filter((one) => one === path).length
    const { status = 200, code, ...told } = (await answers[path]?.(times)) ?? {}
    const body = { fate: null, ...told, error: { code, message: 'No.', remedy: 'Do this.' } }
    return new Response(JSON.stringify(body), { status })
  })
})
afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

const picture = (id: string, more: Partial<Picture> = {}): Picture => ({
  id,
  name: `${id}.jpg`,
  size: 2000,
  panel: '',
  light: '',
  addedAt: 0,
  bytes: new Blob([new Uint8Array(2000)]),
  thumb: null,
  state: 'waiting',
  sent: 0,
  words: '',
  isGood: false,
  isOver: false,
  ...more,
})
async function pageWith(...pictures: Picture[]) {
  const { makeSending } = await import('../../electron/phone/page/sending.ts')
  const links: Link[] = []
  const dropped: string[] = []
  const kept: Picture[] = []
  const shelf = {
    all: async () => pictures,
    put: async (one: Picture) => kept.push({ ...one }) > 0,
    drop: async (id: string) => void dropped.push(id),
  }
  return { pictures, links, dropped, kept, sending: makeSending(pictures, shelf, (_, link) => void links.push(link)) }
}

describe('a picture that is left out', () => {
  test('goes at once, and takes no other along when its button is pressed twice', async () => {
    answers['/drop'] = () => new Promise(() => undefined)
    const { pictures, sending } = await pageWith(picture('one'), picture('two'), picture('three'))
    const one = pictures[0]!
    void sending.leaveOut(one)
    expect(pictures.map(({ id }) => id)).toEqual(['two', 'three'])
    void sending.leaveOut(one)
    await vi.advanceTimersByTimeAsync(100)
    void sending.leaveOut(one)
    expect(pictures.map(({ id }) => id)).toEqual(['two', 'three'])
  })
  test('is given up at the computer too, whether anything of it was sent or not', async () => {
    const [one, two] = [picture('one'), picture('two', { sent: 900 })]
    const { dropped, sending } = await pageWith(one, two)
    await sending.leaveOut(one)
    await sending.leaveOut(two)
    expect(asked).toEqual(['/drop', '/drop'])
    expect(dropped).toEqual(['one', 'two'])
  })
  test('but one that has arrived is only cleared away here', async () => {
    const { pictures, sending } = await pageWith(picture('one', { state: 'arrived', sent: 2000, bytes: null }))
    await sending.leaveOut(pictures[0]!)
    expect(pictures).toEqual([])
    expect(asked).toEqual([])
  })
  test('while it is being sent is not begun anew, and the next goes on', async () => {
    let refuse: (no: Reply) => void = () => undefined
    answers['/piece'] = (times) =>
      times === 1 ? new Promise((resolve) => (refuse = resolve)) : { state: 'coming', offset: 2000 }
    const { pictures, sending } = await pageWith(picture('one'), picture('two'))
    const [one, two] = pictures as [Picture, Picture]
    sending.run()
    await vi.waitUntil(() => asked.includes('/piece'))
    await sending.leaveOut(one)
    refuse({ status: 404, code: 'phone/unknown-picture' })
    await vi.advanceTimersByTimeAsync(2000)
    expect(two.state).toBe('arrived')
    expect(asked).toEqual(['/announce', '/piece', '/drop', '/announce', '/piece', '/finish'])
  })
})

test.each([
  [408, 'host/too-slow'],
  [429, 'phone/too-fast'],
  [409, 'phone/too-many-begun'],
])('a stall (%s %s) is waited out: nobody has to press anything', async (status, code) => {
  const path = status === 409 ? '/announce' : '/piece'
  const before = answers[path]!
  answers[path] = (times) => (times === 1 ? { status, code } : before(times))
  const { pictures, links, sending } = await pageWith(picture('one'))
  sending.run()
  await vi.advanceTimersByTimeAsync(5000)
  expect(links.filter(({ state }) => state === 'stopped')).toEqual([])
  expect(pictures[0]?.state).toBe('arrived')
})
test('one that is refused stays in the list of a page that is loaded anew, without its bytes', async () => {
  answers['/piece'] = () => ({ status: 415, code: 'phone/not-a-picture' })
  const { pictures, kept, dropped, sending } = await pageWith(picture('one'))
  sending.run()
  await vi.advanceTimersByTimeAsync(1000)
  expect(pictures[0]).toMatchObject({ state: 'refused', words: 'No. Do this.', bytes: null })
  expect([kept.at(-1)?.state, kept.at(-1)?.bytes, dropped]).toEqual(['refused', null, []])
})
test('what somebody has to do something about is told', async () => {
  answers['/piece'] = () => ({ status: 507, code: 'phone/cannot-write' })
  const { links, sending } = await pageWith(picture('one'))
  sending.run()
  await vi.advanceTimersByTimeAsync(5000)
  expect(links.at(-1)).toMatchObject({ state: 'stopped', message: 'No.', canGoOn: true })
})

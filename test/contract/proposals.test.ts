import { join } from 'node:path'
import { expect, test, vi } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import { beginLook, forgetLook } from '../../electron/rack/queries/proposals/looks.ts'
import { dispatch } from '../../electron/service/dispatch.ts'
import { handlers } from '../../electron/service/handlers/all.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { dump } from '../rack/fresh.ts'
import { noHelp } from './panel-photo.ts'
import { oneStep, proposing, whole } from './proposing.ts'

const teal = [40, 120, 130]
const wine = [120, 40, 60]
const gold = [170, 140, 60]

test('photos that say their panels are filed with one call, and one undo takes them all back', async () => {
  const { call, ended, shoot, panel, looked, context } = await proposing()
  const panels = [await panel(), await panel(), await panel()]
  const ids: string[] = []
  for (const [i, colour] of [teal, wine, gold].entries()) ids.push(await shoot(colour, [panels[i]!.code]))
  await looked()
  const { ready, doubtful } = await call('proposals.overview', {})
  expect(doubtful).toEqual([])
  expect(ready).toEqual(ids.map((photoId, i) => ({ photoId, panelId: panels[i]!.id, panelCode: panels[i]!.code })))
  const before = await dump(context.rack())
  const job = await ended((await call('proposals.fileReady', { photoIds: ids })).jobId)
  expect(job).toMatchObject({ kind: 'filing', state: 'done', outcome: '3 photos filed.', passing: true, done: 3 })
  expect(job.items.map(({ fate }) => fate)).toEqual(['filed', 'filed', 'filed'])
  for (const [i, { code }] of panels.entries()) {
    const { readings, photos } = await call('panels.get', { key: code })
    expect(photos.map(({ id }) => id)).toEqual([ids[i]])
    expect(readings).toMatchObject([{ photoId: ids[i], stage: 'cleared', view: 'face' }])
  }
  expect((await call('photos.listTray', {})).photos).toEqual([])
  const { entries } = await call('history.list', { panelId: null, limit: 1 })
  expect(entries[0]).toMatchObject({ id: job.changeId, label: 'file 3 photos as proposed' })
  await call('history.undo', {})
  expect(await dump(context.rack())).toBe(before)
  // what was found is still there: nobody has to look again
  expect((await call('proposals.overview', {})).ready).toHaveLength(3)
})

test('doubtful photos stay in the tray, each with its reason, whoever asks for them', async () => {
  const { call, ended, shoot, panel, looked, context } = await proposing()
  const [one, other, thrown] = [await panel(), await panel(), await panel()]
  await call('panels.remove', { panelId: thrown.id })
  const good = await shoot(teal, [one.code])
  const stay = {
    'panel/unknown-code': await shoot([10, 90, 90], ['P-0999']),
    'panel/several-codes': await shoot([30, 60, 90], [one.code, other.code]),
    'panel/in-trash': await shoot([90, 60, 30], [thrown.code]),
    'panel/not-said': await shoot([90, 30, 90], ['C-0001']),
    'card/none': await shoot([60, 60, 120], [other.code], { found: { cards: [] } }),
    'place/no-panel': await shoot([120, 60, 120], [other.code], { found: { panels: [] } }),
  }
  await looked()
  for (const [code, photoId] of Object.entries(stay)) {
    const { proposal } = await call('proposals.get', { photoId })
    expect([photoId, proposal.doubts[0]?.code]).toEqual([photoId, code])
  }
  const { proposal } = await call('proposals.get', { photoId: stay['panel/unknown-code'] })
  expect(proposal.doubts[0]?.message).toContain('P-0999')
  const { ready, doubtful } = await call('proposals.overview', {})
  expect(ready.map(({ photoId }) => photoId)).toEqual([good])
  expect(doubtful.map(({ photoId }) => photoId)).toEqual(Object.values(stay))
  expect(doubtful.every(({ why }) => why.length > 0 && why.length <= 24)).toBe(true)
  const job = await ended((await call('proposals.fileReady', { photoIds: [...Object.values(stay), good] })).jobId)
  expect(job.outcome).toMatch(/^1 photo filed, 6 stay in the tray \(.+\)\.$/)
  expect(job.passing).toBe(false)
  expect(job.items.map(({ fate, why }) => [fate, why?.code])).toEqual([
    ...Object.keys(stay).map((code) => ['left', code]),
    ['filed', undefined],
  ])
  expect((await call('photos.listWaiting', {})).ids).toEqual(Object.values(stay))
  const { entries } = await call('history.list', { panelId: null, limit: 1 })
  expect(entries[0]?.label).toBe('file a photo as proposed')
  const before = await dump(context.rack())
  const nothing = await ended((await call('proposals.fileReady', { photoIds: [good] })).jobId)
  expect(nothing.items.map(({ why }) => why?.code)).toEqual(['photo/changed-meanwhile'])
  expect(await dump(context.rack())).toBe(before)
})

test('the service ends while it looks: what was found is kept, and nothing is looked at twice', async () => {
  let hold = true
  const { call, shoot, panel, looked, lookedAt, folder } = await proposing(async (name) => {
    if (name === 'third.jpg' && hold) await new Promise(() => undefined)
  })
  const { code } = await panel()
  await shoot(teal, [code], { name: 'first.jpg', takenAt: '2026-05-01T10:00:00' })
  await shoot(wine, ['P-0999'], { name: 'second.jpg' })
  const third = await shoot(gold, ['P-0999'], { name: 'third.jpg' })
  await shoot([20, 20, 90], ['P-0999'], { name: 'fourth.jpg' })
  await vi.waitFor(() => expect(lookedAt).toEqual(['first.jpg', 'second.jpg', 'third.jpg']))
  expect((await call('proposals.get', { photoId: third })).proposal.state).toBe('waiting')
  await call('rack.close', {})
  hold = false
  await call('rack.open', { folder: join(folder, 'rack') })
  await looked()
  expect(lookedAt).toEqual(['first.jpg', 'second.jpg', 'third.jpg', 'third.jpg', 'fourth.jpg'])
  expect((await call('proposals.overview', {})).doubtful).toHaveLength(3)
})

test('a photo at which looking ends twice is left alone, and those behind it are looked at', async () => {
  let losses = 0
  const { call, shoot, panel, looked, lookedAt } = await proposing(async (name) => {
    if (name === 'bad.jpg') throw new Error('the worker ended')
    // a worker that was lost is told as a photo that cannot be read
    if (name === 'lost.jpg' && losses++ === 0) throw new Refusal('photo/damaged', 'It cannot be read.', '')
  })
  const { code } = await panel()
  const bad = await shoot(teal, [code], { name: 'bad.jpg' })
  const lost = await shoot(gold, ['P-0999'], { name: 'lost.jpg' })
  await shoot(wine, [code], { name: 'good.jpg' })
  await looked()
  expect(lookedAt.filter((name) => name === 'bad.jpg')).toHaveLength(2)
  expect((await call('proposals.get', { photoId: lost })).proposal.state).toBe('made')
  const { proposal } = await call('proposals.get', { photoId: bad })
  expect(proposal).toMatchObject({ state: 'failed', layout: null })
  expect(proposal.doubts[0]?.code).toBe('photo/stopped-looking')
  expect((await call('proposals.overview', {})).ready).toHaveLength(1)
})

test('what is asked for is looked at next; a photo that leaves the tray is not looked at', async () => {
  let release: (() => void) | undefined
  const held = new Promise<void>((resolve) => {
    release = resolve
  })
  const { call, shoot, panel, looked, lookedAt } = await proposing(async (name) => {
    if (name === 'first.jpg') await held
  })
  const { code } = await panel()
  await shoot(teal, [code], { name: 'first.jpg' })
  await shoot(wine, [code], { name: 'second.jpg' })
  const gone = await shoot(gold, [code], { name: 'gone.jpg' })
  const wanted = await shoot([90, 30, 90], [code], { name: 'wanted.jpg' })
  await call('proposals.get', { photoId: wanted })
  await call('photos.discard', { photoId: gone })
  release?.()
  await looked()
  expect(lookedAt).toEqual(['first.jpg', 'wanted.jpg', 'second.jpg'])
  // undone, it lies there again
  await call('history.undo', {})
  await looked()
  expect(lookedAt).toEqual(['first.jpg', 'wanted.jpg', 'second.jpg', 'gone.jpg'])
})

test('a retake is told, and takes the place of the earlier photo in one change', async () => {
  const { call, shoot, panel, looked, context } = await proposing()
  const { code, id } = await panel()
  const first = await shoot(teal, [code], { name: 'first.jpg', takenAt: '2026-05-01T10:00:00' })
  const again = await shoot([46, 126, 136], [code], { name: 'again.jpg', takenAt: '2026-05-01T10:04:00' })
  const later = await shoot(wine, [code], { name: 'later.jpg', takenAt: '2026-05-03T10:00:00' })
  await looked()
  const retake = async (photoId: string) => (await call('proposals.get', { photoId })).proposal.retakeOf
  expect(await retake(first)).toEqual({ photoId: again, name: 'again.jpg', filed: false })
  expect(await retake(later)).toBeNull()
  expect(await retake(again)).toEqual({ photoId: first, name: 'first.jpg', filed: false })
  // which of the two is meant nobody can tell
  expect((await call('proposals.overview', {})).ready.map(({ photoId }) => photoId)).toEqual([later])
  const { layout, lightId, view, stage, ageDays } = (await call('proposals.get', { photoId: first })).proposal
  await call('photos.file', {
    photoId: first,
    panelId: id,
    layout: layout!,
    lightId,
    view,
    stage,
    ageDays,
    ...noHelp,
  })
  expect(await retake(again)).toEqual({ photoId: first, name: 'first.jpg', filed: true })
  const before = await dump(context.rack())
  await call('proposals.replaceEarlier', { photoId: again, earlierPhotoId: first, panelId: id })
  expect(await retake(again)).toBeNull()
  expect((await call('panels.get', { key: id })).readings).toEqual([])
  expect((await call('proposals.overview', {})).ready.map(({ photoId }) => photoId)).toEqual([again, later])
  await call('history.undo', {})
  expect(await dump(context.rack())).toBe(before)
})

test('a copy of a photo is told apart from another panel in the same place', async () => {
  const { call, shoot, panel, looked } = await proposing()
  const { code } = await panel()
  await shoot(teal, [code], { name: 'first.jpg' })
  const copy = await shoot(teal, ['P-0999'], { name: 'copy.jpg', width: 400, quality: 60 })
  const other = await shoot([60, 130, 120], ['P-0999'], { name: 'other.jpg' })
  await looked()
  const codesOf = async (photoId: string) =>
    (await call('proposals.get', { photoId })).proposal.doubts.map((doubt) => doubt.code)
  expect(await codesOf(copy)).toContain('retake/alike')
  expect(await codesOf(other)).not.toContain('retake/alike')
})

test('the painter says which panel it is, and the light is that of the same sitting', async () => {
  const { call, shoot, panel, looked, ended } = await proposing()
  const [one, other] = [await panel(), await panel()]
  const { light } = await call('lights.add', { name: 'north lamp', kelvin: 5000 })
  const told = await shoot(teal, [one.code], { takenAt: '2026-05-01T10:00:00' })
  const mute = await shoot(wine, [], { takenAt: '2026-05-01T10:20:00' })
  const evening = await shoot(gold, [], { takenAt: '2026-05-01T19:00:00' })
  const elsewhere = await shoot([20, 90, 20], [], { takenAt: '2026-05-01T10:20:00', camera: 'Flint 2' })
  await looked()
  const { proposal } = await call('proposals.get', { photoId: told })
  const marked = { layout: proposal.layout!, view: 'face', stage: 'dry', setupId: null, flatPhotoId: null } as const
  await call('photos.file', { photoId: told, panelId: one.id, ...marked, lightId: light.id, ageDays: null })
  const lightOf = async (photoId: string) => (await call('proposals.get', { photoId })).proposal.lightId
  expect([await lightOf(mute), await lightOf(evening), await lightOf(elsewhere)]).toEqual([light.id, light.id, null])

  const said = await call('proposals.again', { photoId: mute, panelId: other.id })
  expect(said.proposal).toMatchObject({
    panelId: other.id,
    doubts: [],
    layout: { areas: [{ stepId: other.steps[0]?.id }] },
  })
  expect((await call('proposals.overview', {})).ready.map(({ photoId }) => photoId)).toEqual([mute])
  await ended((await call('proposals.fileReady', { photoIds: [mute] })).jobId)
  expect((await call('panels.get', { key: other.id })).readings).toMatchObject([{ photoId: mute, lightId: light.id }])
  const unsaid = await call('proposals.again', { photoId: evening, panelId: null })
  expect(unsaid.proposal.doubts[0]?.code).toBe('panel/not-said')
})

test('what the phone said counts: panel by code, number or title, and light by name', async () => {
  const { call, shoot, panel, looked } = await proposing()
  const one = await panel({ ...oneStep, title: 'Night plum' })
  const twice = { ...oneStep, title: 'Teal' }
  const [first] = [await panel(twice), await panel(twice)]
  const { light } = await call('lights.add', { name: 'North lamp', kelvin: null })
  const says = (words: string, lightWords = '') =>
    ({ hint: { cameFrom: 'phone', panel: words, light: lightWords } }) as const
  const sent = {
    number: await shoot(teal, [], says('1', 'north lamp')),
    title: await shoot([90, 30, 90], [], says(' night PLUM ')),
    nobody: await shoot(wine, [], says('pink')),
    several: await shoot(gold, [], says('teal')),
    contradicts: await shoot([30, 60, 90], [one.code], says(first.code)),
    noLight: await shoot([120, 60, 120], [one.code], says('', 'moonlight')),
    silent: await shoot([60, 60, 120], [one.code], says('')),
  }
  await looked()
  const told = async (photoId: string) => {
    const { proposal } = await call('proposals.get', { photoId })
    const codes = proposal.doubts.map(({ code }) => code).filter((code) => !code.startsWith('retake/'))
    return [proposal.panelId, proposal.lightId, codes]
  }
  expect(await told(sent.number)).toEqual([one.id, light.id, []])
  expect(await told(sent.title)).toEqual([one.id, null, []])
  expect(await told(sent.nobody)).toEqual([null, null, ['panel/said-unknown']])
  expect(await told(sent.several)).toEqual([null, null, ['panel/said-several']])
  expect(await told(sent.contradicts)).toEqual([one.id, null, ['panel/other-than-said']])
  expect(await told(sent.noLight)).toEqual([one.id, null, ['light/unknown']])
  expect(await told(sent.silent)).toEqual([one.id, null, []])
  const { proposal } = await call('proposals.get', { photoId: sent.nobody })
  expect(proposal.said).toEqual({ panel: 'pink', light: '' })
  expect((await call('proposals.get', { photoId: sent.silent })).proposal.said).toBeNull()
})

test('the whole service ends twice while it looks at a photo: it is left alone from then on', async () => {
  const { call, shoot, panel, looked, lookedAt, folder, context } = await proposing()
  const { code } = await panel()
  const bad = await shoot(teal, [code], { name: 'bad.jpg' })
  await looked()
  // as two services leave it that ended in the middle
  await forgetLook(context.rack().db, bad)
  for (const _ of [1, 2]) await beginLook(context.rack().db, bad)
  await call('rack.close', {})
  await call('rack.open', { folder: join(folder, 'rack') })
  await looked()
  expect(lookedAt).toEqual(['bad.jpg'])
  expect((await call('proposals.get', { photoId: bad })).proposal.doubts[0]?.code).toBe('photo/stopped-looking')
  // somebody wants it tried all the same
  expect((await call('proposals.again', { photoId: bad, panelId: null })).proposal.state).toBe('made')
})

test('stopped, what is filed stays filed and is said', async () => {
  const { call, shoot, panel, looked, ended, context } = await proposing()
  const ids: string[] = []
  for (const colour of [teal, wine, gold]) ids.push(await shoot(colour, [(await panel()).code]))
  await looked()
  const rack = context.rack()
  let jobId = ''
  const stopping: Rack = {
    ...rack,
    change: async (what, work) => {
      const done = await rack.change(what, work)
      context.jobs.cancel(jobId)
      return done
    },
  }
  const input = { photoIds: ids }
  const reply = await dispatch('proposals.fileReady', input, { ...context, rack: () => stopping }, handlers)
  jobId = reply.ok ? (reply.value as { jobId: string }).jobId : ''
  const job = await ended(jobId)
  expect(job).toMatchObject({ state: 'cancelled', outcome: 'Stopped: 1 of 3 photos filed, and they stay so.' })
  expect((await call('photos.listWaiting', {})).ids).toEqual(ids.slice(1))
  await call('history.undo', {})
  expect((await call('photos.listWaiting', {})).ids).toEqual(ids)
})

test('what somebody chose without marking anything stays: view, stage, light, blank sheet', async () => {
  const { call, shoot, panel, looked, ended } = await proposing()
  const { code } = await panel()
  const { light } = await call('lights.add', { name: 'north lamp', kelvin: null })
  const photoId = await shoot(teal, [code])
  const sheetId = await shoot([228, 228, 226], [], { found: { panels: [], cards: [] } })
  await looked()
  const chosen = { lightId: light.id, view: 'flop', stage: 'cured', setupId: null, flatPhotoId: sheetId } as const
  await call('photos.mark', { photoId, layout: { areas: [], card: null }, ...chosen })
  expect((await call('proposals.overview', {})).ready.map((one) => one.photoId)).toEqual([photoId])
  await ended((await call('proposals.fileReady', { photoIds: [photoId] })).jobId)
  const { readings } = await call('panels.get', { key: code })
  expect(readings).toMatchObject([{ lightId: light.id, view: 'flop', stage: 'cured' }])
  expect((await call('photos.get', { photoId })).photo).toMatchObject({ filed: true, flatPhotoId: sheetId })
})

test('a photo that somebody has begun to mark is left to them', async () => {
  const { call, shoot, panel, looked, ended } = await proposing()
  const { code } = await panel()
  const photoId = await shoot(teal, [code])
  await looked()
  const layout = { areas: [], card: { quad: whole.cards[0]!.quad, lab: { l: 50, a: 0, b: 0 } } }
  await call('photos.mark', {
    photoId,
    layout,
    lightId: null,
    view: 'flop',
    stage: 'dry',
    setupId: null,
    flatPhotoId: null,
  })
  expect((await call('proposals.overview', {})).doubtful).toEqual([{ photoId, panelCode: code, why: 'begun' }])
  const { items } = await ended((await call('proposals.fileReady', { photoIds: [photoId] })).jobId)
  expect(items).toMatchObject([{ fate: 'left', why: { code: 'photo/marked' } }])
})

import { expect, test } from 'vitest'
import { dump } from '../rack/fresh.ts'
import { box, noHelp } from './panel-photo.ts'
import { proposing, whole } from './proposing.ts'

/** What the painter said against a proposal, or what speaks against it later, keeps a photo from being filed unseen. */

const teal = [40, 120, 130]
const wine = [120, 40, 60]
const gold = [170, 140, 60]

test('a panel that was said by mistake and taken back is not filed to, until one is said anew', async () => {
  const { call, shoot, panel, looked, ended } = await proposing()
  const [one, other] = [await panel(), await panel()]
  const mute = await shoot(teal, [])
  const read = await shoot(wine, [other.code])
  await looked()
  const readyOnes = async () => (await call('proposals.overview', {})).ready.map((ready) => ready.photoId)
  const doubtOf = async (photoId: string) => (await call('proposals.get', { photoId })).proposal.doubts[0]?.code
  await call('proposals.again', { photoId: mute, panelId: one.id })
  expect(await readyOnes()).toEqual([mute, read])
  const { proposal } = await call('proposals.say', { photoId: mute, withdrawn: true })
  expect(proposal).toMatchObject({ panelId: null, doubts: [{ code: 'panel/withdrawn' }] })
  // the code in the picture says it still, and the painter does not
  await call('proposals.say', { photoId: read, withdrawn: true })
  expect(await readyOnes()).toEqual([])
  const job = await ended((await call('proposals.fileReady', { photoIds: [mute, read] })).jobId)
  expect(job.items.map(({ why }) => why?.code)).toEqual(['panel/withdrawn', 'panel/withdrawn'])
  // brought back, it is the one that was said before
  await call('proposals.say', { photoId: mute, withdrawn: false })
  expect((await call('proposals.get', { photoId: mute })).proposal.panelId).toBe(one.id)
  await call('proposals.again', { photoId: read, panelId: other.id })
  expect(await readyOnes()).toEqual([mute, read])
  // meant as a reference, whatever is told of its panel
  await call('proposals.say', { photoId: mute, reference: true })
  await call('proposals.again', { photoId: mute, panelId: one.id })
  expect([await readyOnes(), await doubtOf(mute)]).toEqual([[read], 'photo/reference'])
  await call('proposals.say', { photoId: mute, reference: false })
  expect(await readyOnes()).toEqual([mute, read])
})

test('marks that were declined are not filed, until it is looked at again', async () => {
  const { call, shoot, panel, looked, folder } = await proposing()
  const { code } = await panel()
  const photoId = await shoot(teal, [code])
  await looked()
  await call('proposals.say', { photoId, declined: true })
  // an empty layout is kept as the painter goes on to the next photo
  const said = { lightId: null, view: 'face', stage: 'dry', ...noHelp } as const
  await call('photos.mark', { photoId, layout: { areas: [], card: null }, ...said })
  const why = async () => (await call('proposals.overview', {})).doubtful.map((one) => one.why)
  expect(await why()).toEqual(['marks declined'])
  await call('rack.close', {})
  await call('rack.open', { folder: `${folder}/rack` })
  expect(await why()).toEqual(['marks declined'])
  const { proposal } = await call('proposals.again', { photoId, panelId: null })
  expect(proposal.doubts).toEqual([])
})

test('the earlier photo of a retake stays for another panel that was read from it', async () => {
  const { call, shoot, panel, looked, context } = await proposing()
  const [one, other] = [await panel(), await panel()]
  const both = await shoot(teal, [], { name: 'both.jpg', takenAt: '2026-05-01T10:00:00' })
  const again = await shoot([46, 126, 136], [one.code], { name: 'again.jpg', takenAt: '2026-05-01T10:04:00' })
  await looked()
  const marked = (stepId: string, x: number) => ({
    layout: {
      areas: [{ stepId, shape: { kind: 'quad', quad: box(x, 80, 60, 200) } as const }],
      card: { quad: whole.cards[0]!.quad, lab: { l: 50, a: 0, b: 0 } },
    },
    ...({ lightId: null, view: 'face', stage: 'dry', ageDays: null, ...noHelp } as const),
  })
  await call('photos.file', { photoId: both, panelId: one.id, ...marked(one.steps[0]!.id!, 70) })
  await call('photos.file', { photoId: both, panelId: other.id, ...marked(other.steps[0]!.id!, 150) })
  const { proposal } = await call('proposals.get', { photoId: again })
  expect(proposal.retakeOf?.photoId).toBe(both)
  const before = await dump(context.rack())
  await call('proposals.replaceEarlier', { photoId: again, earlierPhotoId: both, panelId: one.id })
  const shown = async (key: string) => {
    const { readings, photos } = await call('panels.get', { key })
    return [readings.map(({ photoId }) => photoId), photos.map(({ id }) => id)]
  }
  expect(await shown(one.id)).toEqual([[], []])
  expect(await shown(other.id)).toEqual([[both], [both]])
  expect((await call('proposals.get', { photoId: again })).proposal.retakeOf).toBeNull()
  await call('history.undo', {})
  expect(await dump(context.rack())).toBe(before)
  const self = { photoId: both, earlierPhotoId: both, panelId: one.id }
  await expect(call('proposals.replaceEarlier', self)).rejects.toMatchObject({ code: 'photo/absent' })
})

test('a batch files what the overview calls sure, and takes a photo that looks the same and shows another panel for no copy', async () => {
  const { call, shoot, panel, looked, ended } = await proposing()
  const [one, other] = [await panel(), await panel()]
  await shoot(teal, [one.code], { name: 'first.jpg' })
  const alike = await shoot(teal, [other.code], { name: 'second.jpg', quality: 90 })
  await looked()
  expect((await call('proposals.overview', {})).ready.map(({ photoId }) => photoId)).toContain(alike)
  const job = await ended((await call('proposals.fileReady', { photoIds: [alike] })).jobId)
  expect(job.items).toMatchObject([{ fate: 'filed' }])
})

test('a copy is told apart also where it was looked at before the first one', async () => {
  let release: (() => void) | undefined
  const held = new Promise<void>((resolve) => {
    release = resolve
  })
  const { call, shoot, panel, looked, lookedAt } = await proposing(async (name) => {
    if (name === 'before.jpg') await held
  })
  const { code } = await panel()
  await shoot(wine, [code], { name: 'before.jpg' })
  const first = await shoot(teal, [code], { name: 'first.jpg' })
  const copy = await shoot(teal, ['P-0999'], { name: 'copy.jpg', width: 400, quality: 60 })
  await call('proposals.again', { photoId: copy, panelId: null })
  release?.()
  await looked()
  expect(lookedAt).toEqual(['before.jpg', 'copy.jpg', 'first.jpg'])
  const codesOf = async (photoId: string) =>
    (await call('proposals.get', { photoId })).proposal.doubts.map((doubt) => doubt.code)
  expect(await codesOf(copy)).toContain('retake/alike')
  expect(await codesOf(first)).not.toContain('retake/alike')
})

test('one odd date of an archive keeps nothing back', async () => {
  const { call, shoot, panel, looked, context } = await proposing()
  const { code } = await panel()
  const odd = await shoot(teal, [code])
  const good = await shoot(gold, ['P-0999'], { takenAt: '2026-05-01T10:00:00' })
  await looked()
  await context.rack().change({ label: 'say when' }, (change) => change.update('photo', odd, { taken_at: 'in May' }))
  const { ready, doubtful } = await call('proposals.overview', {})
  expect([ready[0]?.photoId, doubtful[0]?.photoId]).toEqual([odd, good])
})

test('words that come with a copy of a photo are said of the photo that is there', async () => {
  const { call, shoot, panel, looked } = await proposing()
  const { id, code } = await panel()
  const photoId = await shoot(teal, [])
  await looked()
  expect((await call('proposals.get', { photoId })).proposal.panelId).toBeNull()
  const hint = { cameFrom: 'phone', panel: code, light: '' } as const
  expect(await shoot(teal, [], { name: 'again.jpg', hint })).toBe(photoId)
  expect((await call('proposals.get', { photoId })).proposal.panelId).toBe(id)
  // and silence takes nothing back
  await shoot(teal, [], { name: 'third.jpg', hint: { ...hint, panel: ' ' } })
  expect((await call('proposals.get', { photoId })).proposal.panelId).toBe(id)
})

test('both of a retake are kept for good, until another panel is said', async () => {
  const { call, shoot, panel, looked, folder } = await proposing()
  const [one, other] = [await panel(), await panel()]
  const first = await shoot(teal, [one.code], { name: 'first.jpg', takenAt: '2026-05-01T10:00:00' })
  const again = await shoot(wine, [one.code], { name: 'again.jpg', takenAt: '2026-05-01T10:04:00' })
  await looked()
  const readyOnes = async () => (await call('proposals.overview', {})).ready.map((ready) => ready.photoId)
  expect(await readyOnes()).not.toContain(again)
  const { proposal } = await call('proposals.say', { photoId: again, bothKept: true })
  expect(proposal).toMatchObject({ retakeOf: null, doubts: [] })
  expect(await readyOnes()).toEqual([first, again])
  await call('rack.close', {})
  await call('rack.open', { folder: `${folder}/rack` })
  expect(await readyOnes()).toEqual([first, again])
  // what was said of one panel's photos says nothing of another's
  await call('proposals.again', { photoId: again, panelId: other.id })
  await call('proposals.again', { photoId: again, panelId: one.id })
  expect((await call('proposals.get', { photoId: again })).proposal.retakeOf?.photoId).toBe(first)
})

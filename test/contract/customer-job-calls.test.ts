import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { renderTestPhoto } from '../e2e/scene.ts'
import { draft } from '../rack/fresh.ts'
import { candyMixture, layer } from '../rack/layers-typed.ts'
import { rasterise, readQr } from '../rack/raster.ts'
import { part, sprayed } from '../rack/sheet-jobs.ts'
import { benchService } from './bench-service.ts'
import { cupOf, emptyShop, jobDraft } from './bench-shop.ts'
import { again, candy, formulaOf, get, ground, inSix, save, typedReference } from './customer-jobs.ts'

describe('a customer’s job', () => {
  test('is kept as it was said, gets a code that is never given again, and undo takes it back', async () => {
    const service = await emptyShop()
    const first = await save(service, { parts: [part('Tank', 0.6)], notes: 'Saturdays', dueOn: '2026-05-02' })
    expect(first).toMatchObject({ code: 'J-0001', title: 'Tank in copper', dueOn: '2026-05-02', notes: 'Saturdays' })
    expect((await get(service, 'J-0001')).job).toEqual(first)
    expect((await service.call('rack.describe', {})).rack?.undo).toBe('add job J-0001')
    await service.call('history.undo', {})
    expect(await service.refusal('customerJobs.get', { key: 'J-0001' })).toMatchObject({ code: 'customer-job/absent' })
    const second = await save(service)
    expect(second.code).toBe('J-0002')
    const changed = (await again(service, second, { title: 'Tank in plum', tolerance: 2 })).job
    expect(changed).toMatchObject({ id: second.id, code: 'J-0002', title: 'Tank in plum', tolerance: 2 })
    await service.call('history.undo', {})
    expect((await get(service, second.id)).job).toEqual(second)
    await service.call('history.redo', {})
    expect((await get(service, second.id)).job).toEqual(changed)
  })

  test('is listed the newest first, without those that are closed where only open ones are asked for', async () => {
    const service = await emptyShop()
    for (const status of ['closed', 'open', 'painted'] as const) await save(service, { title: status, status })
    const titles = async (open: boolean) =>
      (await service.call('customerJobs.list', { open })).jobs.map(({ title }) => title)
    expect(await titles(false)).toEqual(['painted', 'open', 'closed'])
    expect(await titles(true)).toEqual(['painted', 'open'])
  })

  test('that is removed leaves its panels, and undo brings it back', async () => {
    const service = await emptyShop()
    const job = await save(service, { formula: formulaOf(3) })
    const { panelId, job: checked } = await service.call('customerJobs.addCheck', {
      customerJobId: job.id,
      panelId: null,
      note: '',
    })
    await service.call('customerJobs.remove', { customerJobId: job.id })
    expect(await service.refusal('customerJobs.remove', { customerJobId: job.id })).toMatchObject({
      code: 'customer-job/absent',
    })
    expect((await service.call('panels.get', { key: panelId })).panel.status).toBe('planned')
    await service.call('history.undo', {})
    expect((await get(service, job.id)).job).toEqual(checked)
  })

  test('names only what is there; what has gone to the trash since does not keep it from being saved', async () => {
    const service = await emptyShop()
    const refused = async (more: Parameters<typeof jobDraft>[0]) =>
      (await service.refusal('customerJobs.save', { draft: jobDraft(more) })).code
    expect(await refused({ referenceId: 'nowhere' })).toBe('reference/absent')
    expect(await refused({ formula: formulaOf(3, { panelId: 'nowhere' }) })).toBe('panel/absent')
    expect(await refused({ id: 'nowhere' })).toBe('customer-job/absent')
    expect((await service.call('customerJobs.list', { open: false })).jobs).toEqual([])
    const referenceId = await typedReference(service, { l: 40, a: 20, b: 10 })
    const { panel } = await service.call('panels.save', { draft: draft() })
    const job = await save(service, { referenceId, formula: formulaOf(3, { panelId: panel.id }) })
    await service.call('references.remove', { referenceId })
    await service.call('panels.remove', { panelId: panel.id })
    expect((await again(service, job, { notes: 'still wanted' })).job.notes).toBe('still wanted')
    expect((await get(service, job.id)).outcomes).toEqual([])
  })

  test('is opened and printed while what it names is in the trash, and says it all again after an undo', async () => {
    const service = await emptyShop()
    const { panel: near } = await service.call('panels.save', { draft: draft() })
    const candidates = [{ id: 'near', panelId: near.id, stepId: null, recipe: null, note: '' }]
    const job = await save(service, { formula: formulaOf(3, { panelId: near.id }), candidates })
    const { panelId } = await service.call('customerJobs.addCheck', { customerJobId: job.id, panelId: null, note: '' })
    const before = await get(service, job.id)
    expect(before.outcomes.map((each) => each.panelId)).toEqual([panelId])
    for (const each of [near.id, panelId]) await service.call('panels.remove', { panelId: each })
    const during = await get(service, job.id)
    expect(during).toMatchObject({ job: before.job, outcomes: [] })
    expect((await service.call('customerJobs.drawSheet', { customerJobId: job.id })).pageCount).toBeGreaterThan(0)
    for (const _ of [near.id, panelId]) await service.call('history.undo', {})
    expect(await get(service, job.id)).toEqual(before)
  })

  test('has its cups beside it', async () => {
    const service = await emptyShop()
    const job = await save(service)
    const other = await save(service)
    const start = async (customerJobId: string) =>
      (await service.call('cups.start', { ...cupOf(candyMixture('copper', 'crimson'), 210), customerJobId })).cups[0]!
    const cup = await start(job.id)
    await start(other.id)
    expect((await get(service, job.id)).cups.map(({ id }) => id)).toEqual([cup.id])
  })
})

describe('what was sprayed', () => {
  test('is written down by part, and taken back', async () => {
    const service = await emptyShop()
    const job = await save(service, { parts: [part('Tank', 0.6), part('Mudguard', 0.2)] })
    const record = (partId: string, what: typeof sprayed | null) =>
      service.call('customerJobs.recordSprayed', { customerJobId: job.id, partId, sprayed: what })
    const { job: after } = await record('part Mudguard', sprayed)
    expect(after.parts.map((each) => each.sprayed)).toEqual([null, sprayed])
    expect((await service.call('rack.describe', {})).rack?.undo).toBe(
      'write down what was sprayed on Mudguard of job J-0001',
    )
    expect((await record('part Mudguard', null)).job.parts[1]?.sprayed).toBeNull()
    expect(
      await service.refusal('customerJobs.recordSprayed', { customerJobId: job.id, partId: 'door', sprayed }),
    ).toMatchObject({ code: 'customer-job/part-absent' })
  })
})

describe('a check panel', () => {
  test('is planned from the job’s formula, built as the panel that the formula came from', async () => {
    const service = await emptyShop()
    const { panel: like } = await service.call('panels.save', {
      draft: draft({
        substrate: 'steel, sanded',
        layers: [
          layer('sealer', 'mid grey'),
          layer('ground', 'bright gold', { coats: 3 }),
          layer('candy', '', { coats: 4, mixture: candyMixture('copper', 'crimson') }),
          layer('clear', 'gloss', {
            coats: 2,
            booth: { temperatureC: 30, humidityPercent: null, flashOffMin: null, reducerGrade: '' },
          }),
        ],
      }),
    })
    const job = await save(service, { formula: formulaOf(3, { panelId: like.id }) })
    const add = (panelId: string | null) =>
      service.call('customerJobs.addCheck', { customerJobId: job.id, panelId, note: 'first' })
    const { panelId, job: kept } = await add(null)
    const { panel } = await service.call('panels.get', { key: panelId })
    expect(panel).toMatchObject({
      status: 'planned',
      substrate: 'steel, sanded',
      title: 'Check for J-0001: Tank in copper',
    })
    expect(panel.layers.map(({ kind, name, coats }) => [kind, name, coats])).toEqual([
      ['sealer', 'mid grey', 1],
      // the job's ground, as many coats of it as the other had
      ['ground', ground, 3],
      ['candy', '', 3],
      ['clear', 'gloss', 2],
    ])
    expect(panel.layers[3]?.booth).toBeNull()
    expect(panel.layers[2]?.mixture?.parts.map(({ amount }) => amount)).toEqual([1, 6])
    expect(panel.steps.map(({ coats }) => coats)).toEqual([3])
    expect(kept.checks).toMatchObject([{ panelId, note: 'first' }])
    // a panel that is there is taken as it is, and once
    expect((await add(like.id)).job.checks.map((check) => check.panelId)).toEqual([panelId, like.id])
    expect((await add(like.id)).job.checks).toHaveLength(2)
    const { outcomes } = await get(service, job.id)
    expect(outcomes.map(({ code, verdict }) => [code, verdict])).toEqual([
      [panel.code, 'not-read'],
      [like.code, 'not-read'],
    ])
    expect(outcomes[0]?.advice).toContain('in one picture')
  })

  test('is refused without a formula, and for a panel that is not there', async () => {
    const service = await emptyShop()
    const job = await save(service)
    const refused = async (more: object) =>
      (await service.refusal('customerJobs.addCheck', { customerJobId: job.id, panelId: null, note: '', ...more })).code
    expect(await refused({})).toBe('customer-job/no-formula')
    expect(await refused({ panelId: 'nowhere' })).toBe('panel/absent')
    expect(await refused({ customerJobId: 'nowhere' })).toBe('customer-job/absent')
    expect((await get(service, job.id)).job.checks).toEqual([])
  })

  test('in one photo with the reference is known better than apart, and of two readings that one counts', async () => {
    const service = await benchService()
    const { call, ended } = service
    await call('rack.create', { folder: join(service.folder, 'rack'), name: 'One photo' })
    const shoot = async (name: string, coats: number[]) => {
      const path = join(service.folder, `${name}.jpg`)
      const photo = await renderTestPhoto(path, { dye: 'Bracken', coats, seed: name })
      const { items } = await ended((await call('photos.takeIn', { files: [{ path, name: `${name}.jpg` }] })).jobId)
      return { photo, photoId: items[0]?.photoId ?? '' }
    }
    const circumstances = { view: 'face', stage: 'dry', lightId: null, setupId: null, flatPhotoId: null } as const
    const [apart, together] = [await shoot('apart', [3]), await shoot('together', [4, 2])]
    const cardOf = (of: typeof apart) => of.photo.card && { quad: of.photo.card, lab: { l: 50, a: 0, b: 0 } }
    const fileReference = (from: typeof apart, referenceId?: string) =>
      call('photos.fileReference', {
        photoId: from.photoId,
        name: 'tank',
        ...(referenceId === undefined ? {} : { referenceId }),
        area: { stepId: null, shape: { kind: 'quad', quad: from.photo.areas[0]! } },
        card: cardOf(from),
        ...circumstances,
      })
    const { reference } = await fileReference(apart)
    const job = await save(service, { referenceId: reference.id, formula: formulaOf(2), tolerance: 1 })
    const { panelId } = await call('customerJobs.addCheck', { customerJobId: job.id, panelId: null, note: '' })
    const { panel } = await call('panels.get', { key: panelId })
    await call('photos.file', {
      photoId: together.photoId,
      panelId,
      layout: {
        areas: [{ stepId: panel.steps[0]?.id ?? null, shape: { kind: 'quad', quad: together.photo.areas[1]! } }],
        card: cardOf(together),
      },
      ...circumstances,
      ageDays: null,
    })
    const [strangers] = (await get(service, job.id)).outcomes
    expect(strangers).toMatchObject({ inOnePhoto: false, coats: 2 })
    expect(strangers?.advice).toMatch(/^Photograph reference and check panel in one picture/)
    await fileReference(together, reference.id)
    const [outcome] = (await get(service, job.id)).outcomes
    expect(outcome?.inOnePhoto).toBe(true)
    expect(outcome!.bound90!).toBeLessThan(strangers!.bound90!)
    // what was drawn: two coats beside four
    const drawn = differenceCiede2000(together.photo.truth[0]!, together.photo.truth[1]!)
    expect(Math.abs(outcome!.de00! - drawn)).toBeLessThan(outcome!.bound90!)
    expect(outcome).toMatchObject({ verdict: 'beyond' })
    // two coats less of candy
    expect(outcome?.words).toMatch(/lighter|paler/i)
    // and so they stand on the sheet, from their photo
    const { documentId } = await call('customerJobs.drawSheet', { customerJobId: job.id })
    const [page] = await rasterise(service.context.documents.locate(documentId).path, 100)
    expect(page?.text).toContain('in one photo')
    expect(page?.text).not.toContain('photo missing')
  })
})

describe('its sheet', () => {
  test('is drawn with what stands in the rack, and its code is read back', async () => {
    const service = await emptyShop()
    const referenceId = await typedReference(service, { l: 35, a: 30, b: 20 })
    const job = await save(service, {
      referenceId,
      formula: formulaOf(3),
      parts: [part('Tank', 0.62), part('Mudguard', 0.2)],
    })
    await service.call('customerJobs.addCheck', { customerJobId: job.id, panelId: null, note: '' })
    await service.call('cups.start', { ...cupOf(inSix, 210), customerJobId: job.id })
    await service.call('customerJobs.recordSprayed', { customerJobId: job.id, partId: 'part Tank', sprayed })
    const { documentId, pageCount, fileName } = await service.call('customerJobs.drawSheet', { customerJobId: job.id })
    expect(fileName).toBe('job J-0001.pdf')
    const rasters = await rasterise(service.context.documents.locate(documentId).path, 200)
    expect(rasters).toHaveLength(pageCount)
    for (const raster of rasters) expect(await readQr(raster)).toEqual(['J-0001'])
    const said = rasters.map(({ text }) => text.replaceAll(/\s+/gu, ' ')).join(' ')
    for (const words of [
      'Tank in copper',
      'Robin',
      'old tank',
      'C-0001',
      'P-0001',
      'not read yet',
      'As sprayed: Tank',
      candy,
    ])
      expect(said).toContain(words)
    expect(await service.refusal('customerJobs.drawSheet', { customerJobId: 'nowhere' })).toMatchObject({
      code: 'customer-job/absent',
    })
  })
})

import { describe, expect, test } from 'vitest'
import { draft } from '../rack/fresh.ts'
import { part, sprayed } from '../rack/sheet-jobs.ts'
import type { BenchService } from './bench-service.ts'
import { emptyShop } from './bench-shop.ts'
import { get, save } from './customer-jobs.ts'

const panel = async ({ call }: BenchService) => (await call('panels.save', { draft: draft() })).panel
const check = (panelId: string, id: string) => ({ id, panelId, addedAt: '2026-05-02T08:00:00.000Z', note: '' })
const decision = (words: string) => ({
  at: '2026-05-02T09:00:00.000Z',
  who: 'Robin',
  what: 'note' as const,
  panelId: null,
  words,
})

describe('a job that is full', () => {
  test('takes no further check panel, and is still listed', async () => {
    const service = await emptyShop()
    const first = await panel(service)
    const job = await save(service, { checks: Array.from({ length: 60 }, (_, at) => check(first.id, `check-${at}`)) })
    const { id: panelId } = await panel(service)
    const input = { customerJobId: job.id, panelId, note: '' }
    expect(await service.refusal('customerJobs.addCheck', input)).toMatchObject({ code: 'customer-job/full' })
    expect((await service.call('customerJobs.list', { open: true })).jobs).toEqual([job])
    expect((await service.call('customerJobs.addCheck', { ...input, panelId: first.id })).job).toEqual(job)
  })
})

describe('a job that two windows change', () => {
  /** A job as both read it, then what one of them did. */
  async function between() {
    const service = await emptyShop()
    const [known, taken] = [await panel(service), await panel(service)]
    const { createdAt: _, ...from } = await save(service, {
      parts: [part('Tank', 0.6), part('Fender', 0.3)],
      checks: [check(known.id, 'known'), check(taken.id, 'taken')],
    })
    const { id: panelId } = await panel(service)
    await service.call('customerJobs.addCheck', { customerJobId: from.id, panelId, note: 'by the other' })
    const decided = { ...(await get(service, from.id)).job, decisions: [decision('by the other')], customer: 'Kim' }
    await service.call('customerJobs.save', { draft: decided })
    return { service, from, panelId }
  }

  test('keeps what the other put into its lists, and what this one did not touch', async () => {
    const { service, from, panelId } = await between()
    const mine = {
      ...from,
      title: 'Tank and fender',
      checks: [{ ...from.checks[0]!, note: 'greenish' }],
      decisions: [decision('by this one')],
    }
    const { job } = await service.call('customerJobs.save', { draft: mine, from })
    expect(job).toMatchObject({ title: 'Tank and fender', customer: 'Kim' })
    expect(job.checks.map(({ id, panelId: of, note }) => [id === 'known' || of === panelId, note])).toEqual([
      [true, 'greenish'],
      [true, 'by the other'],
    ])
    expect(job.decisions.map(({ words }) => words).toSorted()).toEqual(['by the other', 'by this one'])
  })

  test('keeps what was sprayed when its parts are renamed, and does not bring back a part that went', async () => {
    const { service, from } = await between()
    const [tank, fender] = [from.parts[0]!, from.parts[1]!]
    const now = (await get(service, from.id)).job
    await service.call('customerJobs.save', { draft: { ...now, parts: [{ ...tank, sprayed }] } })
    const mine = { ...from, parts: [{ ...tank, name: 'Big tank' }, fender] }
    const { job } = await service.call('customerJobs.save', { draft: mine, from })
    expect(job.parts).toEqual([{ ...tank, name: 'Big tank', sprayed }])
  })

  test('is what the draft says where nobody says what it was read as', async () => {
    const { service, from } = await between()
    const { job } = await service.call('customerJobs.save', { draft: from })
    expect(job).toMatchObject(from)
  })

  test('is refused together with more than it holds', async () => {
    const { service, from } = await between()
    const checks = Array.from({ length: 60 }, (_, at) => check(from.checks[0]!.panelId, `mine-${at}`))
    const wanted = { draft: { ...from, checks }, from }
    expect(await service.refusal('customerJobs.save', wanted)).toMatchObject({ code: 'customer-job/full' })
    expect((await get(service, from.id)).job.checks).toHaveLength(3)
  })
})

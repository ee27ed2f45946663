import { describe, expect, test } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { benchService } from './bench-service.ts'
import { again, candy, formulaOf, get, ground, save, spray, typedReference } from './customer-jobs.ts'
import { hangShop, read, truth } from './film-rack.ts'

describe('a correction', () => {
  /** A rack that knows the candy, a reference of four coats, and a check panel of fewer. */
  async function thin(coats: number, tolerance = 1) {
    const service = await benchService()
    await hangShop(service)
    const referenceId = await typedReference(service, truth(ground, candy, 4))
    const job = await save(service, { referenceId, formula: formulaOf(coats), tolerance })
    const { panelId, job: kept } = await service.call('customerJobs.addCheck', {
      customerJobId: job.id,
      panelId: null,
      note: '',
    })
    const ask = { customerJobId: job.id, checkId: kept.checks[0]!.id, partIsSprayed: false }
    return {
      service,
      job,
      panelId,
      ask,
      correct: (more = {}) => service.call('customerJobs.correct', { ...ask, ...more }),
    }
  }

  test('of a panel two coats short asks for what comes to the reference, and says what is expected', async () => {
    const { service, job, panelId, correct } = await thin(2)
    await spray(service, panelId, truth(ground, candy, 2))
    const [outcome] = (await get(service, job.id)).outcomes
    expect(outcome).toMatchObject({ verdict: 'beyond', coats: 2, inOnePhoto: false })
    expect(outcome!.de00).toBeCloseTo(differenceCiede2000(truth(ground, candy, 4), truth(ground, candy, 2)), 6)
    const { corrections, words } = await correct()
    const [best] = corrections
    expect(best!.expectedDe00).toBeLessThan(outcome!.de00! / 2)
    expect(words).toContain(best!.words)
    expect(words).toContain(`to ${best!.expectedDe00.toFixed(1)}`)
    expect(words).toMatch(/A prediction is not a panel: spray a check panel\.$/)
    const two = corrections.find((each) => each.words === 'Two more coats')!
    expect(two.recipe).toMatchObject({ ground, coats: 4, formula: { carrierParts: 6 } })
    expect(two.onSprayedPart).toBe(true)
    // what the rack's own world gives for that recipe lies at the reference: the model must not say otherwise
    expect(two.expectedDe00).toBeLessThan(two.expectedBound90)
    const steps = corrections.map(({ words: say }) => say)
    expect(new Set(steps).size).toBe(steps.length)
  })

  test('of a part that is sprayed is more coats alone', async () => {
    const { service, panelId, correct } = await thin(3)
    await spray(service, panelId, truth(ground, candy, 3))
    const { corrections } = await correct({ partIsSprayed: true })
    expect(corrections.length).toBeGreaterThan(0)
    for (const { words, onSprayedPart, recipe } of corrections) {
      expect(words).toMatch(/^(One more coat|Two more coats)$/)
      expect(onSprayedPart).toBe(true)
      expect(recipe.formula.carrierParts).toBe(6)
    }
  })

  test('of a part that is sprayed too dark is none: no coat makes it lighter', async () => {
    const { service, panelId, correct } = await thin(6)
    await spray(service, panelId, truth(ground, candy, 6))
    const found = await correct({ partIsSprayed: true })
    expect(found.corrections).toEqual([])
    expect(found.words).toContain('More coats are not expected to bring it nearer')
    // before the part is sprayed, fewer coats do
    const [best] = (await correct()).corrections
    expect(best?.words).toMatch(/less|carrier/)
    expect(best?.onSprayedPart).toBe(false)
  })

  test('is none where the check panel lies within the tolerance', async () => {
    const { service, job, panelId, correct } = await thin(4, 2)
    await spray(service, panelId, truth(ground, candy, 4))
    expect((await get(service, job.id)).outcomes[0]?.verdict).toBe('within')
    const { corrections, words } = await correct()
    expect(corrections).toEqual([])
    expect(words).toContain('nothing needs to be changed')
  })

  test('is said to be in doubt where its gain is', async () => {
    const { service, panelId, correct } = await thin(4, 0.5)
    // half a unit darker than the reference, read to ± 0.5 like it
    const { l, a, b } = truth(ground, candy, 4)
    await spray(service, panelId, { l: l - 0.6, a, b })
    const { words } = await correct()
    expect(words).toMatch(/No change (is called for|of coats, parts or carrier)/)
    expect(words).toContain('spray a check panel')
  })

  test('waits for a reading, for a formula, and for a model that knows the paint', async () => {
    const { service, job, panelId, ask } = await thin(3)
    expect(await service.refusal('customerJobs.correct', ask)).toMatchObject({ code: 'reading/absent' })
    await spray(service, panelId, truth(ground, candy, 3))
    expect(await service.refusal('customerJobs.correct', { ...ask, checkId: 'nowhere' })).toMatchObject({
      code: 'reading/absent',
    })
    const { job: now } = await get(service, job.id)
    await again(service, now, { formula: null })
    expect(await service.refusal('customerJobs.correct', ask)).toMatchObject({ code: 'customer-job/no-formula' })
    await service.call('history.undo', {})
    const { panel } = await service.call('panels.get', { key: panelId })
    const without = panel.layers.map((each) => (each.kind === 'candy' ? { ...each, mixture: null } : each))
    await service.call('panels.save', { draft: { ...panel, layers: without } })
    const refused = await service.refusal('customerJobs.correct', ask)
    expect(refused).toMatchObject({ code: 'film/knows-nothing' })
    expect(refused.message).toContain('not written down')
  })

  test('is asked of the rack as it is now: the check panel is among what the model has learnt from', async () => {
    const { service, panelId, correct } = await thin(2)
    const panel = await spray(service, panelId, truth(ground, candy, 2))
    const first = await correct()
    const { readings } = await service.call('panels.get', { key: panel.id })
    await service.call('readings.remove', { readingId: readings[0]!.id })
    // read again, much darker: what was asked before must not be answered
    await read(service, panel.steps[0]?.id ?? '', truth(ground, candy, 3))
    const second = await correct()
    expect(second.corrections[0]?.expectedDe00).not.toBe(first.corrections[0]?.expectedDe00)
    const { revision } = (await service.call('film.describe', {})).knows
    const { revision: now } = await service.context
      .rack()
      .db.selectFrom('rack_info')
      .select('revision')
      .executeTakeFirstOrThrow()
    expect(revision).toBe(now)
  })
})

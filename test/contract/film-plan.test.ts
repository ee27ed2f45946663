import { join } from 'node:path'
import { expect, test } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { usualLimits } from '../../shared-core/records/film.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { candies, candyId, formulaOf, grounds, hang, hangShop, read, truth } from './film-rack.ts'

/** What to spray next, what is missing, and what does not fit. */

/** One candy over both grounds, the other over one only, and no bare strip of the second ground. */
async function halfShop(): Promise<BenchService> {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Half a shop' })
  await hang(service, grounds[0]!, candies[0]!, [0, 2, 4])
  await hang(service, grounds[0]!, candies[1]!, [0, 2, 4])
  await hang(service, grounds[1]!, candies[0]!, [4])
  return service
}

test('the next panel is one that was never sprayed, teaches what it says, and can be planned as it stands', async () => {
  const service = await halfShop()
  const other = await candyId(service, candies[1]!)
  const formula = formulaOf([[other, 1]])
  const about = { formula, grounds: [grounds[1]!] }
  const bounds = async () => {
    const coats = [1, 2, 3, 4, 5, 6]
    const { cells } = await service.call('film.predictTable', { ...about, coats })
    return cells.reduce((sum, { prediction }) => sum + prediction!.bound90, 0) / cells.length
  }
  const before = await bounds()
  const { panels } = await service.call('film.planNext', { about, count: 3 })
  const [best] = panels
  expect(best).toMatchObject({ ground: grounds[1], of: 'its column', why: expect.stringContaining('never read over') })
  expect(best?.coats[0]).toBe(0)
  expect(best?.boundNow).toBeCloseTo(before, 6)
  for (const { boundNow, boundThen } of panels) expect(boundThen).toBeLessThan(boundNow)
  // each in the light of those before it
  for (const [i, { boundNow }] of panels.slice(1).entries()) expect(boundNow).toBeCloseTo(panels[i]!.boundThen, 6)
  // planned, sprayed and read, it does what was promised: a linear forecast, so to a third of the gain
  const { panelIds } = await service.call('plan.addPanels', { panels: [{ ...best!, title: 'Next' }] })
  const { panel } = await service.call('panels.get', { key: panelIds[0]! })
  await service.call('panels.save', { draft: { ...panel, status: 'sprayed' } })
  for (const { id, coats } of panel.steps) await read(service, id ?? '', truth(grounds[1]!, candies[1]!, coats))
  const after = await bounds()
  const promised = best!.boundNow - best!.boundThen
  expect(before - after).toBeGreaterThan(promised / 3)
})

test('over the whole rack it asks for what nobody sprayed, also for a candy that was never read', async () => {
  const service = await halfShop()
  const { panels } = await service.call('film.planNext', { about: null, count: 4 })
  const other = await candyId(service, candies[1]!)
  const isMissing = ({ ground, formula }: (typeof panels)[number]) =>
    ground === grounds[1] && formula.candies.some(({ id }) => id === other)
  expect(panels.some(isMissing)).toBe(true)
  expect(panels[0]?.of).toBe('what is sprayed here')
  // a new concentrate comes onto the shelf with a planned panel
  const { panel } = await service.call('panels.get', { key: 'P-0001' })
  const layers = panel.layers.map((layer) => ({
    ...layer,
    mixture: layer.mixture && {
      ...layer.mixture,
      parts: layer.mixture.parts.map((part) =>
        part.material?.kind === 'concentrate'
          ? { ...part, material: { ...part.material, id: null, name: 'new candy' } }
          : part,
      ),
    },
  }))
  await service.call('panels.save', {
    draft: { ...panel, id: null, code: null, status: 'planned', layers, steps: [{ id: null, coats: 4, notes: '' }] },
  })
  const fresh = await candyId(service, 'new candy')
  const again = await service.call('film.planNext', { about: null, count: 2 })
  expect(again.panels[0]?.formula.candies).toEqual([{ id: fresh, parts: 1 }])
  expect(again.panels[0]?.why).toContain('new candy')
})

test('gaps are colours that no panel shows, the widest first, made of what is allowed', async () => {
  const service = await benchService()
  await hangShop(service)
  const { gaps } = await service.call('film.findGaps', { limits: usualLimits, count: 6 })
  expect(gaps.length).toBeGreaterThan(1)
  expect(gaps.map(({ nearest }) => nearest)).toEqual(gaps.map(({ nearest }) => nearest).toSorted((a, b) => b - a))
  const shown = grounds.flatMap((ground) =>
    candies.flatMap((candy) => [0, 2, 4].map((coats) => truth(ground, candy, coats))),
  )
  for (const { prediction, nearest, nearestCode } of gaps) {
    const distances = shown.map((lab) => differenceCiede2000(lab, prediction.lab))
    expect(nearest).toBeCloseTo(Math.min(...distances), 6)
    expect(nearestCode).toMatch(/^P-000[1-4]$/)
  }
  const only = await candyId(service, candies[0]!)
  const fewer = await service.call('film.findGaps', { limits: { ...usualLimits, candies: [only] }, count: 6 })
  for (const { recipe } of fewer.gaps) expect(recipe.formula.candies.map(({ id }) => id)).toEqual([only])
})

test('an empty rack has neither next panels nor gaps to offer', async () => {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Empty' })
  expect((await service.refusal('film.planNext', { about: null, count: 3 })).code).toBe('film/knows-nothing')
  expect((await service.refusal('film.findGaps', { limits: usualLimits, count: 3 })).code).toBe('film/knows-nothing')
  expect((await service.call('film.listSuspects', {})).suspects).toEqual([])
})

test('a typed colour that nothing explains has no photo to take again: its figures are to be checked', async () => {
  const service = await benchService()
  const [panelId = ''] = await hangShop(service)
  const { panel } = await service.call('panels.get', { key: panelId })
  // no paint of this shop comes near it
  await read(service, panel.steps.find(({ coats }) => coats === 2)?.id ?? '', { l: 60, a: 90, b: -90 })
  const { suspects } = await service.call('film.listSuspects', {})
  expect(suspects[0]).toMatchObject({ panelId, coats: 2, reason: 'misread' })
  expect(suspects[0]?.words).toMatch(/Check its figures, or read it again/)
  expect(suspects[0]?.words).not.toMatch(/[Pp]hotograph/)
})

test('a panel that does not fit is named with its likely reason, and put right it is suspect no more', async () => {
  const service = await benchService()
  const [panelId = ''] = await hangShop(service)
  expect((await service.call('film.listSuspects', {})).suspects).toEqual([])
  // sprayed as two and four coats, written down as four and eight
  const { panel } = await service.call('panels.get', { key: panelId })
  const doubled = panel.steps.map((step) => ({ ...step, coats: 2 * step.coats }))
  await service.call('panels.save', { draft: { ...panel, steps: doubled } })
  // others say what the candy is like
  for (const ground of grounds) await hang(service, ground, candies[0]!, [1, 3, 5])
  const { suspects } = await service.call('film.listSuspects', {})
  expect(suspects.length).toBeGreaterThan(0)
  for (const suspect of suspects) {
    expect(suspect).toMatchObject({ panelId, code: 'P-0001', reason: 'thin' })
    expect(suspect.words).toMatch(/\d+ % thinner/)
    expect(suspect.de00).toBeGreaterThan(suspect.allowed90)
    expect(suspect.read).toEqual(truth(grounds[0]!, candies[0]!, suspect.coats / 2))
  }
  await service.call('panels.save', { draft: panel })
  expect((await service.call('film.listSuspects', {})).suspects).toEqual([])
})

import { join } from 'node:path'
import type { CustomerJobDraft } from '../../shared-core/records/customer-job.ts'
import type { Material, MaterialKind, Mixture } from '../../shared-core/records/mixture.ts'
import { namedMaterial } from '../../shared-core/records/mixture.ts'
import { candyMixture } from '../rack/layers-typed.ts'
import { type BenchService, benchService } from './bench-service.ts'

/** A service with an empty rack, and what the tests of the bench put into it. */
export async function emptyShop(): Promise<BenchService> {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Bench' })
  return service
}

export async function shelve(
  service: BenchService,
  name: string,
  kind: MaterialKind,
  more: Partial<Material> = {},
): Promise<Material> {
  const { onHand: _onHand, dataSheetFile: _file, replacedById: _by, ...said } = namedMaterial('', name, kind)
  const { onHand, dataSheetFile: _, replacedById: __, ...rest } = more
  const { material } = await service.call('shelf.save', { material: { ...said, ...rest, id: null } })
  if (!onHand) return material
  const counted = await service.call('shelf.count', { materialId: material.id, onHand, how: 'counted', batch: '' })
  return counted.material
}

/** Everything of 4 : 1 in 6 : 1, counted by volume: a litre of carrier, 100 mL of each candy. */
export async function shelfOf(
  service: BenchService,
): Promise<{ copper: Material; crimson: Material; carrier: Material }> {
  const onHand = (amount: number) => ({ onHand: { amount, basis: 'volume' as const } })
  return {
    copper: await shelve(service, 'copper', 'concentrate', { densityKgPerL: 0.95, ...onHand(100) }),
    crimson: await shelve(service, 'crimson', 'concentrate', { densityKgPerL: 0.9, ...onHand(100) }),
    carrier: await shelve(service, 'clear carrier', 'carrier', { densityKgPerL: 0.96, ...onHand(1000) }),
  }
}

export const fourToOne: Mixture = candyMixture('copper', 'crimson')

export const cupOf = (mixture: Mixture, ml: number, by: 'volume' | 'mass' = 'volume') => ({
  title: 'Tank',
  mixture,
  target: { basis: 'volume' as const, amount: ml, words: '' },
  count: 1,
  measure: { by, step: by === 'mass' ? 0.1 : 1, dropMl: null },
  cupMl: 400,
  tipMm: null,
  customerJobId: null,
  panelId: null,
})

export const jobDraft = (more: Partial<CustomerJobDraft> = {}): CustomerJobDraft => ({
  id: null,
  code: null,
  title: 'Tank in copper',
  customer: 'Robin',
  status: 'open',
  referenceId: null,
  candidates: [],
  formula: null,
  parts: [],
  tolerance: 1.5,
  checks: [],
  decisions: [],
  dueOn: null,
  notes: '',
  ...more,
})

import type { CustomerJob, JobFormula } from '../../shared-core/records/customer-job.ts'
import type { Panel } from '../../shared-core/records/panel.ts'
import { of as amountOf, mixed } from '../rack/film-panels.ts'
import type { BenchService } from './bench-service.ts'
import { jobDraft } from './bench-shop.ts'
import { candies, grounds, read } from './film-rack.ts'

/** Customers' jobs through the service. */
export const [candy = ''] = candies
export const [ground = ''] = grounds
/** One to six. */
export const inSix = mixed('volume', amountOf(1, candy, 'concentrate'), amountOf(6, 'thin carrier', 'carrier'))

export const formulaOf = (coats: number, more: Partial<JobFormula> = {}): JobFormula => ({
  panelId: null,
  stepId: null,
  mixture: inSix,
  ground,
  coats,
  gunSetup: null,
  ...more,
})

export const save = async ({ call }: BenchService, more: Parameters<typeof jobDraft>[0] = {}): Promise<CustomerJob> =>
  (await call('customerJobs.save', { draft: jobDraft(more) })).job
export const get = ({ call }: BenchService, key: string) => call('customerJobs.get', { key })
/** Saves it with something else in it. */
export const again = ({ call }: BenchService, job: CustomerJob, more: Partial<CustomerJob>) => {
  const { createdAt: _, ...kept } = { ...job, ...more }
  return call('customerJobs.save', { draft: kept })
}
export const typedReference = async ({ call }: BenchService, lab: { l: number; a: number; b: number }) =>
  (
    await call('references.addTyped', {
      name: 'old tank',
      lab,
      illuminant: 'D50',
      observer: '2',
      geometry: '45:0',
      bound90: 0.5,
      view: 'face',
      stage: 'cleared',
      lightId: null,
    })
  ).reference.id

/** As the painter does: the planned panel is sprayed, and read. */
export async function spray(
  service: BenchService,
  panelId: string,
  lab: { l: number; a: number; b: number },
): Promise<Panel> {
  const { panel } = await service.call('panels.get', { key: panelId })
  await service.call('panels.save', { draft: { ...panel, status: 'sprayed', sprayedOn: '2026-04-15' } })
  await read(service, panel.steps[0]?.id ?? '', lab)
  return panel
}

import type { Random } from '../fuzz/random.ts'
import type { PhotoFile } from '../kit/many-photos.ts'
import type { Shop } from '../kit/shop.ts'
import type { Place } from '../kit/shop-service.ts'
import { ended } from '../kit/shop-service.ts'
import type { SmallDrive } from '../kit/small-drive.ts'
import type { ServiceProcess } from '../service-process.ts'

/** A rack and an application's folder on a drive that fills up. */
export type World = {
  drive: SmallDrive
  /** Beside the drive: templates, photos to come. */
  beside: string
  place: Place
  random: Random
  photos: (count: number, kilobytes?: number) => PhotoFile[]
  shop: Shop
  service: ServiceProcess
  /** Originals whose photos are in the tray. */
  tray: Set<string>
}

/** What something came to: done, or refused with a code and words. */
export type Outcome = { done: boolean; code: string; message: string }
const done: Outcome = { done: true, code: '', message: '' }

export async function outcomeOf(asked: Promise<unknown>): Promise<Outcome> {
  try {
    await asked
    return done
  } catch (error) {
    const { code = 'no code', message } = error as { code?: string; message: string }
    return { done: false, code, message }
  }
}

/** Starts a job and waits for its end. */
export async function jobOutcome(service: ServiceProcess, name: string, input: unknown): Promise<Outcome> {
  let jobId: string
  try {
    jobId = ((await service.call(name, input)) as { jobId: string }).jobId
  } catch (error) {
    return outcomeOf(Promise.reject(error))
  }
  const job = await ended(service, jobId)
  if (job.state === 'done') return done
  return { done: false, code: job.error?.code ?? job.state, message: job.error?.message ?? '' }
}

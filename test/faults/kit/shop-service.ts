import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Job } from '../../../shared-core/records/job.ts'
import type { RackInfo } from '../../../shared-core/records/rack.ts'
import { type ServiceProcess, startService } from '../service-process.ts'
import { pause } from './experiment.ts'

/** A place with an application's own folder, and a rack in it. */
export type Place = { home: string; rack: string; desk: string }

export function placeIn(folder: string): Place {
  const place = { home: join(folder, 'home'), rack: join(folder, 'rack'), desk: join(folder, 'desk') }
  for (const path of [place.home, place.desk]) mkdirSync(path, { recursive: true })
  return place
}

export const begin = ({ home }: Place): ServiceProcess => startService(home, { quiet: true })

export async function openIn(service: ServiceProcess, { rack }: Place): Promise<RackInfo> {
  return (await service.call('rack.open', { folder: rack })) as RackInfo
}

/** Waits until no job is at work. @throws when that takes too long: something hangs */
export async function settled(service: ServiceProcess, limitMs = 60_000): Promise<Job[]> {
  const end = performance.now() + limitMs
  for (;;) {
    const { jobs } = (await service.call('jobs.list', {})) as { jobs: Job[] }
    if (jobs.every(({ state }) => state !== 'running')) return jobs
    if (performance.now() > end)
      throw new Error(
        `Still at work after ${limitMs / 1000} s: ${jobs.map((job) => `${job.label} (${job.stage})`).join()}`,
      )
    await pause(15)
  }
}

/** Waits for one job. */
export async function ended(service: ServiceProcess, jobId: string, limitMs = 60_000): Promise<Job> {
  const end = performance.now() + limitMs
  for (;;) {
    const { jobs } = (await service.call('jobs.list', {})) as { jobs: Job[] }
    const job = jobs.find(({ id }) => id === jobId)
    if (job && job.state !== 'running') return job
    if (performance.now() > end)
      throw new Error(`Still at work after ${limitMs / 1000} s: ${job?.label} (${job?.stage})`)
    await pause(10)
  }
}

export const waitingIn = async (service: ServiceProcess): Promise<Set<string>> =>
  new Set(((await service.call('photos.listWaiting', {})) as { ids: string[] }).ids)

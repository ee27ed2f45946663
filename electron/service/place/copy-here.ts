import { type Copied, copyRack } from '../../rack/moving/copy-rack.ts'
import { writeRecords } from '../../rack/moving/keep-both.ts'
import type { Options, Rack } from '../../rack/opening/open.ts'
import type { JobHandle } from '../jobs.ts'

/** Copies a rack and says what came of it. */
export async function copyHere(job: JobHandle, from: Rack, to: string, options: Options): Promise<void> {
  const { db, folder, access } = from
  const copied = await copyRack(folder, to, {
    onProgress: (stage, done, total) => job.progress(stage, done, total),
    signal: job.signal,
    ...(access.mode === 'full' ? { copyRecords: (target) => writeRecords(db, target) } : {}),
    ...(options.whereIs ? { whereIs: options.whereIs } : {}),
  })
  job.conclude(inWords(copied, to))
}

const counted = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`

function inWords({ photos, dataSheets, leftOut }: Copied, to: string): string {
  const sheets = dataSheets === 0 ? '' : ` and ${counted(dataSheets, 'data sheet')}`
  const whole = `The rack lies in ${to} now, with ${counted(photos, 'photo')}${sheets}, each compared with its checksum. It is open there, and the old one is as it was.`
  if (leftOut.length === 0) return whole
  const left = counted(leftOut.length, 'file')
  return `${whole} ${left} in the old one ${leftOut.length === 1 ? 'was' : 'were'} damaged and left out: ${leftOut.slice(0, 5).join(', ')}${leftOut.length > 5 ? ' …' : ''}.`
}

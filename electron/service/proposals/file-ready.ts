import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { briefly } from '../../../shared-core/find/filing/doubts.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { Proposal } from '../../../shared-core/records/proposal.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { readPhotoRecord } from '../../rack/queries/photos.ts'
import { readNames } from '../../rack/queries/proposals/pile.ts'
import { filePhoto } from '../filing.ts'
import type { JobHandle, Jobs } from '../jobs.ts'
import type { Log } from '../log.ts'
import { isReady, type Proposals } from './proposals.ts'

const photos = (count: number): string => (count === 1 ? 'a photo' : `${count} photos`)
const labelOf = (count: number): string => `file ${photos(count)} as proposed`

/** Files photos by their proposals as a job: one change, however many. @returns the job's id */
export async function startFiling(
  rack: Rack,
  photoIds: readonly string[],
  support: { jobs: Jobs; log: Log; proposals: Proposals },
): Promise<string> {
  const id = v7()
  const ids = [...new Set(photoIds)]
  const label = `Filing ${photos(ids.length)}`
  support.jobs.start({ id, kind: 'filing', label, total: ids.length, rackFolder: rack.folder }, (job) =>
    fileAll(rack, ids, job, support),
  )
  return id
}

type Came = { filed: number; left: { name: string; why: Caution }[] }

async function fileAll(
  rack: Rack,
  ids: readonly string[],
  job: JobHandle,
  { log, proposals }: { log: Log; proposals: Proposals },
): Promise<void> {
  const names = await readNames(rack.db, ids)
  const came: Came = { filed: 0, left: [] }
  let changeId = v7()
  try {
    for (const [i, photoId] of ids.entries()) {
      if (job.signal.aborted) break
      const name = names.get(photoId)?.name ?? ''
      job.progress(name, i, ids.length)
      const filed = await fileOne(rack, photoId, { proposals, partOf: changeId, label: labelOf(ids.length) }, log)
      if ('changeId' in filed) {
        changeId = filed.changeId
        came.filed++
        job.changed(changeId)
        job.item({ name, photoId, fate: 'filed', why: null })
      } else {
        came.left.push({ name, why: filed.why })
        job.item({ name, photoId, fate: 'left', why: filed.why })
      }
      job.progress(name, i + 1, ids.length)
    }
  } finally {
    if (came.filed > 0 && came.filed < ids.length)
      await rack
        .change({ label: labelOf(came.filed), partOf: changeId }, (change) => change.relabel(labelOf(came.filed)))
        .catch((error: unknown) => {
          // closed or gone meanwhile: what was filed stays so
          if (!(error instanceof Refusal)) log.unexpected(error, 'naming what was filed')
        })
  }
  const isStopped = job.signal.aborted
  job.conclude(outcomeOf(came, isStopped ? ids.length : null), came.left.length === 0 && !isStopped)
}

type How = { proposals: Proposals; partOf: string; label: string }

/** @throws Refusal rack/… when nothing more can be filed */
async function fileOne(
  rack: Rack,
  photoId: string,
  { proposals, partOf, label }: How,
  log: Log,
): Promise<{ changeId: string } | { why: Caution }> {
  const proposal = await proposals.decideNow(rack, photoId)
  if (!proposal) return { why: notThere }
  if (!isReady(proposal)) return { why: whyNot(proposal) }
  const { layout, panelId, lightId, setupId, view, stage, ageDays } = proposal
  if (!layout || panelId === null) return { why: whyNot(proposal) }
  try {
    // a blank sheet is never proposed: somebody named it
    const { flatPhotoId } = await readPhotoRecord(rack.db, photoId)
    const input = { photoId, panelId, layout, lightId, setupId, flatPhotoId, view, stage, ageDays }
    const { changeId } = await filePhoto(rack, input, { label, partOf })
    return { changeId }
  } catch (error) {
    if (error instanceof Refusal && !error.code.startsWith('rack/'))
      return { why: { code: error.code, message: error.message, remedy: error.remedy } }
    if (error instanceof Refusal) throw error
    return { why: log.unexpected(error, 'filing a photo by its proposal') }
  }
}

const notThere: Caution = {
  code: 'photo/changed-meanwhile',
  message: 'It no longer waited in the tray: it was filed or discarded meanwhile.',
  remedy: 'Nothing was changed about it.',
}
const changedMeanwhile: Caution = {
  code: 'photo/changed-meanwhile',
  message: 'What is proposed for it changed meanwhile.',
  remedy: 'Look at it in the tray.',
}
const whyNot = ({ doubts }: Proposal): Caution => doubts.find(({ weight }) => weight !== 'note') ?? changedMeanwhile

/** "38 photos filed, 2 stay in the tray (no card, taken twice)." @param of  how many there were, where it was stopped */
function outcomeOf({ filed, left }: Came, of: number | null): string {
  const stays = left.length === 1 ? '1 stays' : `${left.length} stay`
  const reasons = [...new Set(left.map(({ why }) => briefly(why)))].slice(0, 3).join(', ')
  const told = [
    of === null
      ? `${filed === 1 ? '1 photo' : `${filed} photos`} filed`
      : `Stopped: ${filed} of ${of === 1 ? '1 photo' : `${of} photos`} filed, and they stay so`,
    ...(left.length > 0 ? [`${stays} in the tray (${reasons})`] : []),
  ]
  return `${told.join(', ')}.`
}

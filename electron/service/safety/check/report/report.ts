import { stat } from 'node:fs/promises'
import type { CheckReport, Finding } from '../../../../../shared-core/records/check.ts'
import type { PhotoFormat } from '../../../../../shared-core/records/photo.ts'
import { type Run, readRuns, type TroubledFile, troubledFiles } from '../../../../rack/check/progress.ts'
import { extensions, pathByHash } from '../../../../rack/disk/photo-store.ts'
import type { Rack } from '../../../../rack/opening/open.ts'
import { type CheckSupport, runningCheck } from '../run-check.ts'
import { trashAmount, unneededAmount } from '../unneeded.ts'
import { broughtBackCode, filesInWords } from './file-words.ts'
import { foldersInWords } from './folder-words.ts'
import { recordsInWords } from './record-words.ts'
import { counted } from './words.ts'

/** What is known of the rack's state, in words. Reads no file to its end. */
export async function reportOf(rack: Rack, support: CheckSupport): Promise<CheckReport> {
  const { last, underWay } = await readRuns(rack.db)
  const kept = await keptIn(rack)
  // what one under way has found already is told at once
  const newest = newestFound(last, underWay)
  const findings = await findingsOf(rack, newest)
  const checked = underWay ? await checkedCount(rack, underWay.startedAt) : 0
  return {
    ...headlineOf(findings, kept, last),
    checkedAt: last?.endedAt ?? null,
    underWay: underWay && {
      jobId: runningCheck(rack, support),
      startedAt: underWay.startedAt,
      done: checked,
      total: kept.photos.count + kept.dataSheets.count,
    },
    findings,
    kept,
    pictures: newest.walked?.pictures ?? null,
    unneeded: await unneededAmount(rack),
    trash: await trashAmount(rack),
  }
}

/** What is known to be wrong, and what was put right by itself, as the last look through found it. */
export async function openFindings(rack: Rack): Promise<Finding[]> {
  const { last, underWay } = await readRuns(rack.db)
  const findings = await findingsOf(rack, newestFound(last, underWay))
  return findings.filter((finding) => isWrong(finding) || finding.code === broughtBackCode)
}

async function findingsOf(rack: Rack, newest: Run['found']): Promise<Finding[]> {
  const troubled = await troubledFiles(rack.db)
  const there = await stillThere(rack, troubled)
  return [
    ...filesInWords(troubled, there, newest),
    ...recordsInWords(newest),
    ...foldersInWords(newest, await leftPaths(rack)),
  ].toSorted((a, b) => order.indexOf(a.weight) - order.indexOf(b.weight))
}

const isWrong = ({ weight }: Finding): boolean => weight === 'lost' || weight === 'harm'

const order: ReadonlyArray<Finding['weight']> = ['lost', 'harm', 'mended', 'note']

const newestFound = (last: Run | null, underWay: Run | null): Run['found'] => ({
  exam: underWay?.found.exam ?? last?.found.exam ?? null,
  walked: underWay?.found.walked ?? last?.found.walked ?? null,
  renamed: [...(last?.found.renamed ?? []), ...(underWay?.found.renamed ?? [])],
  derivedMended: Math.max(last?.found.derivedMended ?? 0, underWay?.found.derivedMended ?? 0),
  broughtBack: last?.found.broughtBack ?? [],
  paused: false,
})

function headlineOf(
  findings: readonly Finding[],
  kept: CheckReport['kept'],
  last: Run | null,
): Pick<CheckReport, 'headline' | 'isWhole'> {
  const all = [counted(kept.panels, 'panel'), counted(kept.photos.count, 'photo')]
  if (kept.dataSheets.count > 0) all.push(counted(kept.dataSheets.count, 'data sheet'))
  const wrong = findings.filter(isWrong)
  if (wrong.length > 0) return { headline: wrong.map(({ title }) => title).join('; '), isWhole: false }
  if (!last) return { headline: 'Nothing has been looked through yet', isWhole: false }
  const back = findings.find(({ code }) => code === broughtBackCode)
  return back
    ? {
        headline: `${back.title}: a sign that the drive is failing. All else was whole: ${all.join(', ')}`,
        isWhole: true,
      }
    : { headline: `Everything was whole: ${all.join(', ')}`, isWhole: true }
}

async function keptIn({ db }: Rack): Promise<CheckReport['kept']> {
  const panels = await db
    .selectFrom('panel')
    .select((e) => e.fn.countAll<number>().as('count'))
    .where('deleted_at', 'is', null)
    .executeTakeFirstOrThrow()
  const photos = await db
    .selectFrom('photo')
    .select((e) => [e.fn.countAll<number>().as('count'), e.fn.sum<number | null>('byte_count').as('bytes')])
    .executeTakeFirstOrThrow()
  const sheets = await db
    .selectFrom('material')
    .select((e) => e.fn.count<number>('data_sheet_sha256').distinct().as('count'))
    .executeTakeFirstOrThrow()
  return {
    panels: panels.count,
    photos: { count: photos.count, byteCount: photos.bytes ?? 0 },
    dataSheets: { count: sheets.count, byteCount: 0 },
  }
}

async function checkedCount({ db }: Rack, since: string): Promise<number> {
  const { count } = await db
    .selectFrom('file_check')
    .select((e) => e.fn.countAll<number>().as('count'))
    .where('checked_at', '>=', since)
    .executeTakeFirstOrThrow()
  return count
}

/** As many are asked for on the drive each time that somebody looks. */
const mostAsked = 200

/** Originals that were missing and lie there again: a card that was put back, a folder that was copied over. */
async function stillThere(rack: Rack, troubled: readonly TroubledFile[]): Promise<Set<string>> {
  const there = new Set<string>()
  for (const { sha256, found, format } of troubled.slice(0, mostAsked)) {
    if (found !== 'missing' || format === null) continue
    const path = pathByHash(rack.folder, 'photos', sha256, extensions[format as PhotoFormat])
    if (await stat(path).catch(() => null)) there.add(sha256)
  }
  return there
}

async function leftPaths({ db }: Rack): Promise<Set<string>> {
  const rows = await db.selectFrom('check_left').select('path').execute()
  return new Set(rows.map(({ path }) => path))
}

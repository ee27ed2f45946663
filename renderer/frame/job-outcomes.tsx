import './notices.css'
import { type RefObject, useEffect, useEffectEvent, useRef } from 'react'
import type { Job } from '../../shared-core/records/job.ts'
import { client } from '../client/client.ts'
import { PlaceLink } from '../parts/place-link.tsx'
import { sayMoments } from '../parts/say-moments.ts'
import { openDrawn } from '../state/open-drawn.ts'
import { useStore } from '../state/store.ts'
import { useEscape } from './escape.ts'
import { useFocusBack } from './focus-back.ts'
import { CopyRefused, RefusedFiles } from './refused-files.tsx'

/** What a job is called in its outcome; the others take in photos. */
const named: Partial<Record<Job['kind'], string>> = {
  index: 'index',
  notebook: 'notebook',
  backup: 'backup',
  restore: 'backup',
  archive: 'archive',
  import: 'import',
  check: 'check',
  repair: 'repair',
  copy: 'copy',
}

/** As many photos that were there already are named one by one. */
const mostKnown = 12

/** The newest that is worth saying: of an intake what was refused and why, what was already there. Without a word of trouble nothing. */
export function JobOutcomes() {
  const settings = useStore((s) => s.settings)
  const putAway = useStore((s) => s.putAwayJob)
  useNews()
  const job = useStore((s) =>
    Object.values(s.jobs).findLast(
      (j) =>
        worthSaying(j) &&
        concerns(j, s.rack?.folder) &&
        !s.seenJobs.includes(j.id) &&
        !isSuperseded(j, Object.values(s.jobs)),
    ),
  )
  const card = useRef<HTMLElement>(null)
  useRoomBelow(card, job?.id)
  useFocusBack(card, job?.id)
  useEscape(() => {
    if (job) putAway(job.id)
    return job !== undefined
  }, true)
  if (!job) return null
  const refused = job.items.filter((item) => item.fate === 'refused' || item.fate === 'left')
  const known = job.items.filter((item) => item.fate === 'duplicate')
  return (
    <section
      ref={card}
      className="outcome"
      role="status"
      aria-label={`What became of the ${named[job.kind] ?? 'photos'}`}
    >
      <h2 className="railname">
        {job.state === 'failed'
          ? `${job.label} stopped`
          : job.document
            ? job.kind === 'archive'
              ? 'The archive is ready'
              : 'The index is drawn'
            : job.outcome
              ? job.label
              : intakeInWords(job)}
      </h2>
      {job.outcome ? <p>{sayMoments(job.outcome, settings)}</p> : null}
      {job.error ? (
        <p>
          <b>{job.error.message}</b> {job.error.remedy}
        </p>
      ) : null}
      {refused.length + known.length > 0 ? (
        <ul className="outcome-list scroll">
          <RefusedFiles items={refused} />
          {known.length > mostKnown ? (
            <li>
              <span>
                <b>{known.length} files</b> were taken in before, and are not kept twice.
              </span>
            </li>
          ) : (
            known.map((item, i) => (
              <li key={`${i} ${item.name}`}>
                <b>{item.name}</b>
                <span>This very photo was taken in before, and is not kept twice.</span>
                {item.photoId ? <ItsPhoto photoId={item.photoId} onGo={() => putAway(job.id)} /> : null}
              </li>
            ))
          )}
        </ul>
      ) : null}
      {job.document ? <ItsDocument job={job} document={job.document} onOpen={() => putAway(job.id)} /> : null}
      <div className="outcome-acts">
        <button type="button" className={job.document ? 'btn plain' : 'btn'} onClick={() => putAway(job.id)}>
          {job.document ? 'Not now' : 'Understood'}
        </button>
        {refused.length > 1 ? <CopyRefused items={refused} /> : null}
      </div>
    </section>
  )
}

function ItsPhoto({ photoId, onGo }: { photoId: string; onGo: () => void }) {
  const route = { at: 'tray', photoId } as const
  return (
    <PlaceLink to={route} onGo={onGo} className="btn plain">
      Show it
    </PlaceLink>
  )
}

type DocumentProps = { job: Job; document: NonNullable<Job['document']>; onOpen: () => void }

function ItsDocument({ job, document, onOpen }: DocumentProps) {
  const saves =
    job.kind === 'archive' ? 'Save the archive' : client().capabilities.canPrint ? 'Save the PDF' : 'Open the PDF'
  return (
    <button type="button" className="btn main" onClick={() => void openDrawn(document, onOpen)}>
      {saves}
    </button>
  )
}

/** These work on a rack that is not the open one, or on none that can be opened. */
const onOthers: ReadonlyArray<Job['kind']> = ['restore', 'repair', 'copy', 'archive', 'demonstration']

/** What became of another rack's job is told when that rack is open again; that one could not be made or opened, at once. */
function concerns({ rackFolder, state, kind }: Job, folder: string | undefined): boolean {
  if (rackFolder === undefined || rackFolder === null || rackFolder === folder) return true
  return state === 'failed' && (folder === undefined || onOthers.includes(kind))
}

/** An older backup's outcome says nothing any more once a newer one has ended. */
function isSuperseded(job: Job, all: readonly Job[]): boolean {
  if (job.kind !== 'backup') return false
  const later = all.slice(all.indexOf(job) + 1)
  return later.some(
    ({ kind, state, rackFolder }) =>
      kind === job.kind && rackFolder === job.rackFolder && (state === 'done' || state === 'failed'),
  )
}

/** What is told in passing: all went well, and there is nothing to do. */
function useNews(): void {
  const news = useStore((s) =>
    Object.values(s.jobs).find((j) => isNews(j) && concerns(j, s.rack?.folder) && !s.seenJobs.includes(j.id)),
  )
  const settings = useStore((s) => s.settings)
  const tell = useEffectEvent((job: Job) => {
    useStore.getState().say(sayMoments(job.outcome ?? `${intakeInWords(job)}.`, settings))
    useStore.getState().putAwayJob(job.id)
  })
  useEffect(() => {
    if (news) tell(news)
  }, [news])
}

const isNews = (job: Job): boolean =>
  job.state === 'done' && (job.outcome ? job.passing === true : isGoodIntake(job) && worthTelling(job))

/** All is in the tray or was in the rack before. Where nothing new came in, one may want to see what was there. */
function isGoodIntake({ kind, items, error, document }: Job): boolean {
  if (kind !== 'intake' || error || document) return false
  return (
    items.some(({ fate }) => fate === 'taken') && items.every(({ fate }) => fate === 'taken' || fate === 'duplicate')
  )
}

/** Photos that lie in the tray now need no word. */
const worthTelling = ({ items }: Job): boolean => items.some(({ fate }) => fate !== 'taken')

/** What the card lies over can be scrolled free of it: places leave as much room at their end. */
function useRoomBelow(card: RefObject<HTMLElement | null>, shown: string | undefined): void {
  useEffect(() => {
    const element = card.current
    if (shown === undefined || !element) return
    const root = document.documentElement
    const measure = () => root.style.setProperty('--outcome', `${element.offsetHeight}px`)
    const observer = new ResizeObserver(measure)
    observer.observe(element)
    measure()
    root.classList.add('has-outcome')
    return () => {
      observer.disconnect()
      root.classList.remove('has-outcome')
      root.style.removeProperty('--outcome')
    }
  }, [card, shown])
}

function worthSaying(job: Job): boolean {
  if (job.document) return true
  if (job.outcome) return !isNews(job)
  if (job.state === 'failed') return true
  return job.state !== 'running' && worthTelling(job) && !isNews(job)
}

function intakeInWords({ items }: Job): string {
  const count = (...fates: string[]) => items.filter(({ fate }) => fates.includes(fate)).length
  const [taken, duplicate, refused] = [count('taken'), count('duplicate'), count('refused', 'left')]
  const cancelled = count('cancelled')
  const photos = (n: number) => (n === 1 ? '1 photo' : `${n} photos`)
  const parts: string[] = taken > 0 ? [`${photos(taken)} taken in`] : []
  if (duplicate > 0) parts.push(`${photos(duplicate)} already in the rack`)
  if (refused > 0) parts.push(`${photos(refused)} refused`)
  if (cancelled > 0) parts.push(`${photos(cancelled)} left out because you stopped`)
  return parts.join(', ')
}

import type { ReactNode } from 'react'
import type { Match } from '../../../shared-core/records/match.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { anotherReference } from '../../commands/match/another-reference.ts'
import { jobWithReference } from '../../commands/match/job-with-reference.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { gamutWord } from '../../parts/gamut-word.ts'
import { PlaceLink } from '../../parts/place-link.tsx'
import { useAnswer } from '../../state/asking.ts'
import { idOfPhoto } from '../../state/match-address.ts'
import { rests } from '../../state/rests.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { useMatch } from './match-state.ts'
import { weightWords } from './narrowing/weights.ts'
import { howRead, isEstimate, sayLab } from './reading-words.ts'

type Props = { name: string; to: Reading; nearest: Match | undefined; children?: ReactNode }

/** What is matched, how it was read, whose job it is for, and how far a screen can be believed. */
export function MatchHeader({ name, to, nearest, children }: Props) {
  const lights = useStore((s) => s.lights)
  const settings = useStore((s) => s.settings)
  const shows = useMatch((s) => s.shows)
  const weights = useMatch((s) => s.weights)
  const gamut = gamutWord(to.lab)
  return (
    <div className="match-top">
      <div>
        <h1>
          Match to <b>{name}</b>
        </h1>
        <p>
          {howRead(to, lights)}. <span className="num">{sayLab(to, settings)}</span>
          {to.referenceId === null ? null : <UsedBy referenceId={to.referenceId} />}
        </p>
      </div>
      <div className="match-acts">
        {children}
        {to.photoId !== null && to.referenceId !== null ? <OtherPoint photoId={to.photoId} /> : null}
        {to.referenceId === null ? null : <CommandButton command={jobWithReference} look="plain" />}
        <CommandButton command={anotherReference} />
      </div>
      <p className="fine">
        Screen preview: judge panel against part under the customer’s light.
        {isEstimate(to) ? ' A photo is an estimate.' : ''}
        {nearest && nearest.bound90 > nearest.de00 && isEstimate(nearest.reading)
          ? ' To be surer, photograph both in one picture.'
          : ''}
        {gamut ? ` The reference is ${gamut.toLowerCase()}` : ''}
        {shows === 'photos' ? ' Cut-outs show each photo’s own light: the figures, not these, compare.' : ''}
        {weights === 'alike' ? '' : ` ${weightWords(weights)}`}
      </p>
    </div>
  )
}

/** Its own photo may show other colours that are wanted. */
function OtherPoint({ photoId }: { photoId: string }) {
  return (
    <button
      type="button"
      className="btn plain"
      title="Take the colour at any point of the photo that it was read in"
      onClick={() => go({ at: 'match', referenceId: idOfPhoto(photoId) })}
    >
      Its photo
    </button>
  )
}

/** Jobs that are matched to it. */
function UsedBy({ referenceId }: { referenceId: string }) {
  const jobs = useAnswer('customerJobs.list', { open: false }, rests.afterOthersMs).value?.jobs
  const own = jobs?.filter((job) => job.referenceId === referenceId) ?? []
  if (own.length === 0) return null
  return (
    <span className="match-used">
      {' '}
      For{' '}
      {own.map((job, i) => (
        <span key={job.id}>
          {i > 0 ? ', ' : ''}
          <PlaceLink to={{ at: 'jobs', key: job.code }}>{`${job.code} ${job.title}`}</PlaceLink>
        </span>
      ))}
      .
    </span>
  )
}

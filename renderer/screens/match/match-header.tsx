import type { Match } from '../../../shared-core/records/match.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { anotherReference } from '../../commands/match/another-reference.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { gamutWord } from '../../parts/gamut-word.ts'
import { useStore } from '../../state/store.ts'
import { useMatch } from './match-state.ts'
import { howRead, isEstimate, sayLab } from './reading-words.ts'

/** What is matched, how it was read, and how far a screen can be believed. */
export function MatchHeader({ name, to, nearest }: { name: string; to: Reading; nearest: Match | undefined }) {
  const lights = useStore((s) => s.lights)
  const settings = useStore((s) => s.settings)
  const shows = useMatch((s) => s.shows)
  const gamut = gamutWord(to.lab)
  return (
    <div className="match-top">
      <div>
        <h1>
          Match to <b>{name}</b>
        </h1>
        <p>
          {howRead(to, lights)}. <span className="num">{sayLab(to, settings)}</span>
        </p>
      </div>
      <CommandButton command={anotherReference} />
      <p className="fine">
        Screen preview: judge panel against part under the customer’s light.
        {isEstimate(to) ? ' A photo is an estimate.' : ''}
        {nearest && nearest.bound90 > nearest.de00 && isEstimate(nearest.reading)
          ? ' The ± is wider than the nearest difference: to be sure, photograph both in one picture.'
          : ''}
        {gamut ? ` The reference is ${gamut.toLowerCase()}` : ''}
        {shows === 'photos' ? ' Cut-outs show each photo’s own light: the figures, not these, compare.' : ''}
      </p>
    </div>
  )
}

import { type ReactNode, useState } from 'react'
import { client } from '../../client/client.ts'
import { openRack } from './refused.ts'

type Found = { folder: string; name: string }
type Props = { folder: string; children?: ReactNode }

/** A rack that is no longer where it was: looked for by its own name, beside its old place and on drives. */
export function FindMoved({ folder, children }: Props) {
  const [found, setFound] = useState<Found[] | 'looking' | null>(null)
  const look = async () => {
    if (found === 'looking') return
    setFound('looking')
    const answer = await client().call('rack.findMoved', { folder })
    setFound(answer.ok ? answer.value.found : [])
  }
  return (
    <>
      {found === 'looking' ? <p role="status">Looking beside its old place and on the drives …</p> : null}
      {found?.length === 0 ? (
        <p role="status">It was not found. Connect its drive and look again, or write its folder below.</p>
      ) : null}
      {found !== 'looking' && found && found.length > 0 ? <FoundRacks found={found} /> : null}
      <div className="welcome-helps">
        <button type="button" className="btn" aria-disabled={found === 'looking'} onClick={() => void look()}>
          {found === null || found === 'looking' ? 'Find it' : 'Look again'}
        </button>
        {children}
      </div>
    </>
  )
}

function FoundRacks({ found }: { found: Found[] }) {
  return (
    <div>
      <p className="fine">{found.length === 1 ? 'It lies here now:' : 'It may be one of these:'}</p>
      <ul className="welcome-recent" aria-label="Found">
        {found.map((rack) => (
          <li key={rack.folder}>
            <button type="button" className="welcome-pick" onClick={() => void openRack(rack.folder, {}, rack.name)}>
              <b>{rack.name}</b>
              <span className="fine welcome-path">{rack.folder}</span>
            </button>
          </li>
        ))}
      </ul>
    </div>
  )
}

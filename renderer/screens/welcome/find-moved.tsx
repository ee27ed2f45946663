import { useState } from 'react'
import { client } from '../../client/client.ts'
import { openRack } from './refused.ts'

type Found = { folder: string; name: string }

/** A rack that is no longer where it was: looked for by its own name, beside its old place and on drives. */
export function FindMoved({ folder }: { folder: string }) {
  const [found, setFound] = useState<Found[] | 'looking' | null>(null)
  const look = async () => {
    setFound('looking')
    const answer = await client().call('rack.findMoved', { folder })
    setFound(answer.ok ? answer.value.found : [])
  }
  if (found === null)
    return (
      <button type="button" className="btn welcome-find" onClick={() => void look()}>
        Find it
      </button>
    )
  if (found === 'looking') return <p role="status">Looking beside its old place and on the drives …</p>
  if (found.length === 0)
    return (
      <p role="status">
        It was not found. Connect its drive and look again, or write its folder below.{' '}
        <button type="button" className="btn plain" onClick={() => void look()}>
          Look again
        </button>
      </p>
    )
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

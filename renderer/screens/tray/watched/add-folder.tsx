import { type FormEvent, useState } from 'react'
import { client } from '../../../client/client.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import type { Said } from '../../../parts/field-error.tsx'
import { refreshWatched } from '../../../state/watched.ts'
import { FolderField } from '../../welcome/folder-field.tsx'

/** What a look into the folder found, until it is decided what becomes of it. */
type Looked = { path: string; photos: number }

/** A folder is named, looked into, and watched once it is said what becomes of the photos that lie there already. */
export function AddFolder() {
  const [path, setPath] = useState('')
  const [looked, setLooked] = useState<Looked | null>(null)
  const [error, setError] = useState<Said | null>(null)
  const [isBusy, setBusy] = useState(false)

  const name = (typed: string) => {
    setPath(typed)
    setLooked(null)
    setError(null)
  }
  const watch = async (folder: string, takeThoseThere: boolean) => {
    const answer = await client().call('watched.add', { path: folder, takeThoseThere })
    if (!answer.ok) return setError(answer.error)
    name('')
    await refreshWatched()
  }
  const look = async (event: FormEvent) => {
    event.preventDefault()
    if (path.trim() === '' || isBusy) return
    setBusy(true)
    setError(null)
    const answer = await client().call('watched.look', { path })
    if (!answer.ok) setError(answer.error)
    else if (answer.value.photos === 0) await watch(answer.value.path, false)
    else setLooked(answer.value)
    setBusy(false)
  }
  return (
    <form className="watched-add" onSubmit={(event) => void look(event)} aria-label="Watch another folder">
      <FolderField
        label="Folder to watch"
        value={path}
        onChange={name}
        choose="The folder that new photos come into"
        error={error}
      />
      {looked ? (
        <div className="watched-there" role="group" aria-label="Photos that lie there already">
          <p>
            {looked.photos === 1
              ? 'One photo lies there already. Take it in, too?'
              : `${looked.photos} photos lie there already. Take them in, too?`}
          </p>
          <div className="watched-acts">
            <ChangeButton className="btn main" onClick={() => void watch(looked.path, false)}>
              Only new ones
            </ChangeButton>
            <ChangeButton className="btn" onClick={() => void watch(looked.path, true)}>
              {looked.photos === 1 ? 'Take it in, too' : `Take in all ${looked.photos}, too`}
            </ChangeButton>
          </div>
        </div>
      ) : (
        <ChangeButton type="submit" className="btn main" aria-disabled={path.trim() === '' || isBusy}>
          Watch this folder
        </ChangeButton>
      )}
    </form>
  )
}

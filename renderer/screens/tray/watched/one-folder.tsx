import type { WatchedFolder } from '../../../../shared-core/contract/watch-calls.ts'
import { Caution } from '../../../parts/caution.tsx'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { sayMoment } from '../../../parts/say-moments.ts'
import { act } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { refreshWatched } from '../../../state/watched.ts'

const photos = (count: number): string => (count === 1 ? '1 photo' : `${count} photos`)

function soFar({ taken, coming, refused }: WatchedFolder): string {
  const words = [taken === 0 ? 'No photo has come yet' : `${photos(taken)} taken in`]
  if (coming > 0) words.push(`${coming} on the way`)
  if (refused > 0) words.push(`${refused} could not be read as ${refused === 1 ? 'a photo' : 'photos'}`)
  return `${words.join(', ')}.`
}

/** A watched folder: where it is, what came from it, and how to turn it off. */
export function OneFolder({ folder }: { folder: WatchedFolder }) {
  const settings = useStore((s) => s.settings)
  const { id, path, since, isOn, trouble } = folder
  const turn = async () => {
    if (await act('watched.turn', { folderId: id, on: !isOn })) await refreshWatched()
  }
  const remove = async () => {
    if (!(await act('watched.remove', { folderId: id }))) return
    await refreshWatched()
    useStore.getState().say('The folder is not watched any more.', 'Its photos stay, in the rack and in the folder.')
  }
  return (
    <li aria-label={path}>
      <p className="watched-path">{path}</p>
      <p role="status">
        {isOn ? `Watched since ${sayMoment(since, settings)}. ` : 'Paused: nothing is taken from it. '}
        {soFar(folder)}
      </p>
      {trouble && isOn ? (
        trouble.weight === 'note' ? (
          <p className="fine">{`${trouble.message} ${trouble.remedy}`}</p>
        ) : (
          <Caution message={trouble.message} remedy={trouble.remedy} />
        )
      ) : null}
      <div className="watched-acts">
        <ChangeButton className="btn" onClick={() => void turn()}>
          {isOn ? 'Pause' : 'Go on watching'}
        </ChangeButton>
        <ChangeButton className="btn" onClick={() => void remove()}>
          Stop watching
        </ChangeButton>
      </div>
    </li>
  )
}

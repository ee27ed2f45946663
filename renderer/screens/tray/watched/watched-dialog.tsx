import './watched.css'
import { useEffect } from 'react'
import { Dialog } from '../../../parts/dialog.tsx'
import { useStore } from '../../../state/store.ts'
import { hideWatched, refreshWatched, useWatched } from '../../../state/watched.ts'
import { AddFolder } from './add-folder.tsx'
import { OneFolder } from './one-folder.tsx'

/** How often an open sheet asks how the folders stand: files come without the rack being changed. */
const everyMs = 1_500

/** Folders whose new photos come into the tray by themselves. */
export function WatchedDialog() {
  const isShown = useWatched((s) => s.isShown)
  const hasRack = useStore((s) => Boolean(s.rack))
  return isShown && hasRack ? <OpenWatchedDialog /> : null
}

function OpenWatchedDialog() {
  const folders = useWatched((s) => s.folders)
  useEffect(() => {
    // what another rack watches is not shown meanwhile
    useWatched.setState({ folders: null })
    void refreshWatched()
    const timer = setInterval(() => void refreshWatched(), everyMs)
    return () => clearInterval(timer)
  }, [])
  return (
    <Dialog title="Watched folders" onClose={hideWatched}>
      <div className="watched">
        <p>
          New photos in a watched folder come into the tray by themselves: a camera’s card, or the folder that a program
          keeps in step with your phone. They stay in the folder as they are.
        </p>
        {folders && folders.length > 0 ? (
          <ul className="watched-list">
            {folders.map((folder) => (
              <OneFolder key={folder.id} folder={folder} />
            ))}
          </ul>
        ) : null}
        <AddFolder />
        <div className="watched-acts">
          <button type="button" className="btn" onClick={hideWatched}>
            Close
          </button>
        </div>
      </div>
    </Dialog>
  )
}

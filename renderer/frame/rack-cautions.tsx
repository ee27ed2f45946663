import { pressingCaution } from '../commands/command.ts'
import { Caution } from '../parts/caution.tsx'
import { Dialog } from '../parts/dialog.tsx'
import { Triangle } from '../parts/icons.tsx'
import { rackPlace } from '../state/rack-place.ts'
import { go } from '../state/router.ts'
import { useStore } from '../state/store.ts'

/** Cautions about the place a rack lies in, behind one quiet sign in the bar. */
export function CautionsSign() {
  // what presses stands in full below the bar
  const count = useStore((s) => (pressingCaution(s) ? 0 : (s.rack?.cautions.length ?? 0)))
  if (count === 0) return null
  const words = count === 1 ? '1 caution about this rack' : `${count} cautions about this rack`
  return (
    <button
      type="button"
      className="btn plain bar-cautions"
      aria-label={words}
      title={words}
      onClick={() => rackPlace.setState({ shown: 'cautions' })}
    >
      <Triangle />
      {count}
    </button>
  )
}

export function CautionsDialog() {
  const rack = useStore((s) => s.rack)
  const close = () => rackPlace.setState({ shown: null })
  if (!rack) return null
  const isOfCheck = rack.cautions.some(({ code }) => code.startsWith('check/') || code === 'rack/originals-missing')
  return (
    <Dialog title={`Cautions about ${rack.name}`} onClose={close}>
      {rack.cautions.length === 0 ? (
        <p>Nothing is left of them.</p>
      ) : (
        <ul className="rack-cautions">
          {rack.cautions.map(({ code, message, remedy }) => (
            <li key={code}>
              <Caution message={message} remedy={remedy} />
            </li>
          ))}
        </ul>
      )}
      <p className="fine">The rack lies in {rack.folder}</p>
      <div className="rack-copy-acts">
        <button type="button" className="btn main" onClick={close}>
          Understood
        </button>
        <button
          type="button"
          className="btn"
          onClick={() => {
            close()
            go({ at: 'care', page: isOfCheck ? 'check' : 'backups' })
          }}
        >
          {isOfCheck ? 'Check and repair' : 'Safe keeping'}
        </button>
      </div>
    </Dialog>
  )
}

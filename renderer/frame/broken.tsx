import './broken.css'
import { act } from '../state/asking.ts'
import { go } from '../state/router.ts'
import { useStore } from '../state/store.ts'
import { Details } from './details.tsx'

const saved = 'Every panel, photo, reading and job that was saved. They lie in the rack on this computer’s disk.'
const typed = 'What you were typing into a form is kept here too, and offered again when you open that form.'

type Props = { of: 'place' | 'page'; reference: string | null; goOn: () => void }

/** In place of what could not be drawn: what happened, what is safe, what to do. */
export function BrokenPage({ of, reference, goOn }: Props) {
  const happened =
    of === 'place' ? 'This place could not be shown. The rest of Overground works.' : 'The page could not be shown.'
  return (
    <main className="broken scroll">
      <h1 className="title">{of === 'place' ? 'This place stopped' : 'The page stopped'}</h1>
      <WhatWhatWhat
        happened={reference === null ? happened : `${happened} The log has it under ${reference}.`}
        safe={`${saved} ${typed}`}
        todo="“Go on” shows it once more. If it stops again, load the page again, or go elsewhere and come back. What happens again and again is worth a report: “Copy details” puts all that is needed on the clipboard."
      />
      <p className="broken-acts">
        <button type="button" className="btn main" onClick={goOn}>
          Go on
        </button>
        <button type="button" className="btn" onClick={() => location.reload()}>
          Load the page again
        </button>
        <button
          type="button"
          className="btn"
          onClick={() => {
            void act('rack.close', {}).then(() => go({ at: 'rack' }))
            goOn()
          }}
        >
          Choose another rack
        </button>
        <button
          type="button"
          className="btn"
          onClick={() => {
            go({ at: 'care', page: 'backups' })
            goOn()
          }}
        >
          Safe keeping
        </button>
      </p>
      <Details />
    </main>
  )
}

export function WhatWhatWhat({ happened, safe, todo }: { happened: string; safe: string; todo: string }) {
  return (
    <dl className="broken-what">
      {(
        [
          ['What happened', happened],
          ['What is safe', safe],
          ['What to do', todo],
        ] as const
      ).map(([title, words]) => (
        <div key={title} className="block">
          <dt>{title}</dt>
          <dd>{words}</dd>
        </div>
      ))}
    </dl>
  )
}

/** Shown over the place, which keeps what is typed in it. */
export function GaveUp({ why, withRack }: { why: string; withRack: boolean }) {
  const name = useStore((s) => s.rack?.name)
  const start = (rack: boolean) => void act('service.startAgain', { withRack: rack })
  return (
    <dialog
      ref={(element) => {
        if (element && !element.open) element.showModal()
      }}
      className="broken-over"
      aria-label="Overground’s service stopped"
      onCancel={(event) => event.preventDefault()}
    >
      <main className="broken scroll">
        <h1 className="title">The part that does the work stopped</h1>
        <WhatWhatWhat
          happened={`It ended several times within a minute${why === '' ? '' : ` (${why})`}, and is not started again by itself.`}
          safe={`${saved} What stands in a form that is open stays in it.`}
          todo={
            withRack
              ? `Start it again. If it stops once more with ${name ? `“${name}”` : 'this rack'}, open Overground without that rack: then look through it and restore a backup where that is needed.`
              : 'Start it again. If it stops once more, start the computer anew; “Copy details” has what somebody needs who is to help.'
          }
        />
        <p className="broken-acts">
          <button type="button" className="btn main" onClick={() => start(true)}>
            Start it again
          </button>
          {withRack ? (
            <button
              type="button"
              className="btn"
              onClick={() => {
                go({ at: 'rack' })
                start(false)
              }}
            >
              Open without this rack
            </button>
          ) : null}
        </p>
        <Details />
      </main>
    </dialog>
  )
}

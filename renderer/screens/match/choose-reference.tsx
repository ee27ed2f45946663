import { useEffect, useRef, useState } from 'react'
import type { Reference } from '../../../shared-core/records/reading.ts'
import { referenceFromInstrument } from '../../commands/match/reference-from-instrument.ts'
import { ChangeButton, ChangeFields } from '../../parts/change-only.tsx'
import { CommandButton } from '../../parts/command-button.tsx'
import { Paint } from '../../parts/lab-swatch.tsx'
import { PlaceLink } from '../../parts/place-link.tsx'
import { sayDay } from '../../parts/say-numbers.ts'
import { TypedColourForm } from '../../parts/typed-colour-form.tsx'
import { act, useAnswer } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { howRead, newestOf, sayLab } from './reading-words.ts'
import { RemoveReference } from './remove-reference.tsx'
import { TableLine } from './table/table-line.tsx'

/** The colours somebody wants matched, and the ways to add one. */
export function ChooseReference() {
  const { value } = useAnswer('references.list', {})
  const references = value?.references
  return (
    <main className="match match-choose well" aria-label="Match">
      <section className="match-references scroll" aria-label="References">
        <h1>What is to be matched?</h1>
        {references?.length === 0 ? (
          <p>
            No reference yet. A reference is a colour that somebody wants: a chip, a part, a figure. Add one at the
            right; the nearest panels of your rack then stand beside it.
          </p>
        ) : null}
        <TableLine />
        <ul>
          {references?.map((reference) => (
            <ReferenceRow key={reference.id} reference={reference} />
          ))}
        </ul>
      </section>
      <section className="match-add scroll" aria-label="Add a reference">
        <div className="block">
          <h2>Photograph it</h2>
          <p>
            Lay it beside the grey card, drop the photo into the Tray and file it as a reference. A photo is an
            estimate: its ± says how far.
          </p>
          <button type="button" className="btn main" onClick={() => go({ at: 'tray', photoId: null })}>
            Go to the Tray
          </button>
        </div>
        <div className="block">
          <h2>Measured by an instrument</h2>
          <p>Its file gives the colour, from near glare to flop where the instrument sees so far.</p>
          <CommandButton command={referenceFromInstrument} />
        </div>
        <div className="block">
          <h2>Type a colour</h2>
          <ChangeFields>
            <TypedColourForm
              nameField
              submitLabel="Add reference"
              onSubmit={async (values) => {
                const done = await act('references.addTyped', values)
                if (done) go({ at: 'match', referenceId: done.reference.id })
              }}
            />
          </ChangeFields>
        </div>
      </section>
    </main>
  )
}

function ReferenceRow({ reference }: { reference: Reference }) {
  const lights = useStore((s) => s.lights)
  const settings = useStore((s) => s.settings)
  const [renaming, setRenaming] = useState(false)
  const [removing, setRemoving] = useState(false)
  const newest = newestOf(reference.readings)
  const route = { at: 'match', referenceId: reference.id } as const
  return (
    <li className="match-reference">
      <div className="match-swatch">
        <Paint lab={newest?.lab ?? null} label={reference.name} flat />
      </div>
      {renaming ? (
        <Rename reference={reference} onDone={() => setRenaming(false)} />
      ) : (
        <>
          <PlaceLink to={route}>
            <b className="lead">{reference.name}</b>
            {newest ? <span className="num">{sayLab(newest, settings)}</span> : <span>no colour</span>}
            <span className="fine">
              {sayDay(reference.createdAt)}
              {newest ? `. ${howRead(newest, lights)}` : ''}
            </span>
          </PlaceLink>
          <ChangeButton
            type="button"
            className="btn plain"
            aria-label={`Rename ${reference.name}`}
            onClick={() => setRenaming(true)}
          >
            Rename
          </ChangeButton>
          <ChangeButton
            type="button"
            className="btn plain"
            aria-label={`Remove ${reference.name}`}
            onClick={() => setRemoving(true)}
          >
            Remove
          </ChangeButton>
          {removing ? <RemoveReference reference={reference} onDone={() => setRemoving(false)} /> : null}
        </>
      )}
    </li>
  )
}

function Rename({ reference, onDone }: { reference: Reference; onDone: () => void }) {
  const [name, setName] = useState(reference.name)
  const field = useRef<HTMLInputElement>(null)
  useEffect(() => field.current?.select(), [])
  const save = async () => {
    if (name.trim() === '') return
    if (name.trim() === reference.name) onDone()
    else if (await act('references.rename', { referenceId: reference.id, name: name.trim() })) onDone()
  }
  return (
    <form
      className="match-rename"
      onSubmit={(event) => {
        event.preventDefault()
        void save()
      }}
    >
      <label className="field">
        <span>Name</span>
        <input
          className="input"
          value={name}
          maxLength={200}
          ref={field}
          onKeyDown={(event) => {
            if (event.key === 'Escape') onDone()
          }}
          onChange={(event) => setName(event.target.value)}
        />
      </label>
      <button type="submit" className="btn main" aria-disabled={name.trim() === ''}>
        Save name
      </button>
      <button type="button" className="btn" onClick={onDone}>
        Leave it
      </button>
    </form>
  )
}

import './backups.css'
import { type FormEvent, useState } from 'react'
import type { PlaceFound } from '../../../../shared-core/records/backup.ts'
import { client } from '../../../client/client.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import type { Said } from '../../../parts/field-error.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { useNow } from '../../../state/use-now.ts'
import { FolderField } from '../../welcome/folder-field.tsx'
import { sayWhen } from './words.ts'

/** A whole rack again from a second place: where that lies, and where the rack is to live. */
export function MakeRackDialog({ from = '', onClose }: { from?: string; onClose: () => void }) {
  const [place, setPlace] = useState(from)
  const [typed, setTyped] = useState<string | null>(null)
  const [failed, setFailed] = useState<(Said & { where: 'from' | 'to' }) | null>(null)
  const [busy, setBusy] = useState(false)
  /** Several lie in the folder that was named; one of them is chosen. */
  const [several, setSeveral] = useState<PlaceFound[]>([])
  const [chosen, setChosen] = useState<string | null>(null)
  const name = nameIn(chosen ?? place)
  const suggested = useAnswer('rack.suggestFolder', { name }).value?.folder ?? ''
  const folder = typed ?? suggested
  const takePlace = (wanted: string) => {
    setPlace(wanted)
    setSeveral([])
    setChosen(null)
    setFailed(null)
  }
  const make = async (event: FormEvent) => {
    event.preventDefault()
    if (busy) return
    if (place.trim() === '')
      return setFailed({
        where: 'from',
        message: 'No second place is named.',
        remedy: 'Choose the folder that was named as second place, or the one in it that holds “backups” and “photos”.',
      })
    if (several.length > 0 && chosen === null) return setFailed({ where: 'from', ...chooseOne })
    setBusy(true)
    setFailed(null)
    const answer = await client().call('backups.restoreElsewhere', {
      from: chosen ?? place.trim(),
      file: null,
      to: folder.trim(),
    })
    const places =
      !answer.ok && answer.error.code === 'second-place/several'
        ? await client().call('secondPlace.find', { folder: place.trim() })
        : null
    setBusy(false)
    if (answer.ok) return onClose()
    if (places?.ok) {
      setSeveral(places.value.places.filter(({ newest }) => newest !== null))
      return setFailed({ where: 'from', message: answer.error.message, remedy: chooseOne.remedy })
    }
    const isAboutTarget = ['rack/already-one', 'rack/folder-not-empty', 'rack/read-only'].includes(answer.error.code)
    setFailed({ ...answer.error, where: isAboutTarget ? 'to' : 'from' })
  }
  return (
    <Dialog title="Make a rack from a second place" onClose={onClose}>
      <form className="restore" noValidate onSubmit={(event) => void make(event)}>
        <p>
          Photos, data sheets and the newest whole backup are copied into a new folder, each compared with its checksum.
          The second place stays as it is.
        </p>
        <FolderField
          label="The second place: the folder that you named for it, or the rack’s own folder in it"
          value={place}
          onChange={takePlace}
          choose="The folder of the second place"
          error={failed?.where === 'from' ? failed : null}
        />
        {several.length > 0 ? (
          <PlaceChoice
            places={several}
            chosen={chosen}
            onChoose={(one) => {
              setChosen(one)
              setFailed(null)
            }}
          />
        ) : null}
        <FolderField
          label="Where the rack is to live"
          value={folder}
          onChange={setTyped}
          choose="Where the rack is to live"
          error={failed?.where === 'to' ? failed : null}
        />
        <div className="backups-acts">
          <button type="submit" className="btn main" aria-disabled={busy}>
            {busy ? 'Looking at the folders' : 'Make the rack'}
          </button>
          <button type="button" className="btn plain" onClick={onClose}>
            Not now
          </button>
        </div>
      </form>
    </Dialog>
  )
}

const chooseOne = { message: 'Several second places lie there.', remedy: 'Choose one of them below.' }

type ChoiceProps = { places: readonly PlaceFound[]; chosen: string | null; onChoose: (folder: string) => void }

function PlaceChoice({ places, chosen, onChoose }: ChoiceProps) {
  const settings = useStore((s) => s.settings)
  const now = new Date(useNow(60_000))
  return (
    <fieldset className="backups-places">
      <legend>Which of them</legend>
      {places.map(({ folder, rackName, newest }) => (
        <label key={folder} className="check">
          <input type="radio" name="place" checked={chosen === folder} onChange={() => onChoose(folder)} />
          <b>{rackName || lastOf(folder)}</b>
          <span className="fine">
            {newest === null ? '' : `newest backup ${sayWhen(newest, settings, now)}, in `}
            {lastOf(folder)}
          </span>
        </label>
      ))}
    </fieldset>
  )
}

const lastOf = (folder: string): string => folder.split(/[/\\]/).findLast((piece) => piece !== '') ?? ''

/** The rack's name, as the folder of its second place says. */
const nameIn = (place: string): string => lastOf(place).replace(/ second place( \d+)?$/, '') || 'Rack'

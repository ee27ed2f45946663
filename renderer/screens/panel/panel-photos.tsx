import { useLayoutEffect, useState } from 'react'
import type { Panel } from '../../../shared-core/records/panel.ts'
import type { Photo } from '../../../shared-core/records/photo.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { client } from '../../client/client.ts'
import { takeColourOfPanel } from '../../commands/panel/take-colour.ts'
import { addPhotos } from '../../commands/rack/add-photos.ts'
import { Caution } from '../../parts/caution.tsx'
import { ChangeButton } from '../../parts/change-only.tsx'
import { CommandButton } from '../../parts/command-button.tsx'
import { Paint } from '../../parts/lab-swatch.tsx'
import { PhotoImage } from '../../parts/photo-image.tsx'
import { stageInWords, viewInWords } from '../../parts/views-in-words.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { MarkedPhoto } from './marked-photo.tsx'
import { groupReadings, readingsOf } from './readings/reading-groups.ts'
import { useShownPhoto } from './shown-photo.ts'

type Props = { panel: Panel; photos: Photo[]; readings: Reading[] }

/** The photo with what was read in it; the other views below. */
export function PanelPhotos({ panel, photos, readings }: Props) {
  const [chosenId, setChosenId] = useState<string | null>(null)
  const [whole, setWhole] = useState(false)
  const photo = photos.find((one) => one.id === chosenId) ?? firstToShow(photos, readings, panel)
  useLayoutEffect(() => {
    useShownPhoto.setState({ photo: photo ?? null })
    return () => useShownPhoto.setState({ photo: null })
  }, [photo])
  if (!photo) return <NoPhoto planned={panel.status === 'planned'} />
  return (
    <section aria-label="Photos">
      <MarkedPhoto photo={photo} panel={panel} whole={whole} />
      <div className="panel-photo-acts">
        <span className="pair" role="group" aria-label="How much of the photo">
          <button type="button" aria-pressed={!whole} onClick={() => setWhole(false)}>
            Panel
          </button>
          <button type="button" aria-pressed={whole} onClick={() => setWhole(true)}>
            Whole photo
          </button>
        </span>
        <ChangeButton type="button" className="btn" onClick={() => go({ at: 'tray', photoId: photo.id })}>
          Change its areas
        </ChangeButton>
        <TakeColour />
      </div>
      {photos.length > 1 ? (
        <div className="panel-views" role="group" aria-label="Photos of this panel">
          {photos.map((one) => (
            <ViewButton
              key={one.id}
              photo={one}
              panel={panel}
              readings={readings}
              shown={one.id === photo.id}
              named={photos.some((other) => other !== one && looksAlike(other, one))}
              onShow={() => setChosenId(one.id)}
            />
          ))}
        </div>
      ) : (
        <p className="panel-onlyview">
          <b>{viewInWords[photo.view]}</b> <LightAndStage photo={photo} />
        </p>
      )}
      {photo.cautions.map((caution) => (
        <Caution key={caution.code} message={caution.message} remedy={caution.remedy} />
      ))}
    </section>
  )
}

/** Again when another photo is shown. */
function TakeColour() {
  useShownPhoto()
  return <CommandButton command={takeColourOfPanel} />
}

/** The photo that the first table of readings was read in. */
function firstToShow(photos: readonly Photo[], readings: Reading[], panel: Panel): Photo | undefined {
  const first = groupReadings(readings, panel.steps)[0]
  return photos.find((photo) => first && readingsOf(first).some((reading) => reading.photoId === photo.id)) ?? photos[0]
}

function LightAndStage({ photo }: { photo: Photo }) {
  const light = useStore((s) => s.lights.find((one) => one.id === photo.lightId)?.name ?? 'light not named')
  return <span className="fine">{`${light}, ${stageInWords[photo.stage]}`}</span>
}

/** Two photos of one view, light and stage are told apart by their names. */
const looksAlike = (a: Photo, b: Photo) => a.view === b.view && a.lightId === b.lightId && a.stage === b.stage

type ViewProps = {
  photo: Photo
  panel: Panel
  readings: Reading[]
  shown: boolean
  named: boolean
  onShow: () => void
}

function ViewButton({ photo, panel, readings, shown, named, onShow }: ViewProps) {
  const coats = (reading: Reading) => panel.steps.find((step) => step.id === reading.stepId)?.coats ?? 0
  const cuts = readings
    .filter((reading) => reading.photoId === photo.id && reading.cut)
    .toSorted((a, b) => coats(a) - coats(b))
  return (
    <button type="button" aria-pressed={shown} onClick={onShow}>
      <span className="panel-view-paint">
        {cuts.length > 0 ? (
          cuts.map((reading) => <Paint key={reading.id} lab={reading.lab} cut={reading.cut} label="" />)
        ) : (
          <PhotoImage
            src={client().pictureUrl(`photo/${photo.sha256}/thumb`)}
            alt=""
            lazy
            none={<span className="fine">no picture</span>}
          />
        )}
      </span>
      <b>{viewInWords[photo.view]}</b>
      <LightAndStage photo={photo} />
      {named ? <span className="fine panel-photo-name">{photo.name}</span> : null}
    </button>
  )
}

function NoPhoto({ planned }: { planned: boolean }) {
  return (
    <section aria-label="Photos">
      <div className="panel-nophoto">
        <p>
          <b>{planned ? 'Planned: no photo yet' : 'No photo yet'}</b>
          <br />
          {planned ? 'Once it is sprayed, photograph' : 'Photograph'} it beside the grey card and drop the photo into
          the Tray.
        </p>
        <CommandButton command={addPhotos} />
      </div>
    </section>
  )
}

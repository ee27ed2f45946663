import { ChangeButton, ChangeFields } from '../../../parts/change-only.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import './slip.css'
import { useShallow } from 'zustand/react/shallow'
import { discardPhoto } from '../../../commands/tray/discard-photo.ts'
import { filePhoto } from '../../../commands/tray/file-photo.ts'
import { acceptProposal } from '../../../commands/tray/mark.ts'
import { setAside } from '../../../commands/tray/set-aside.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { declineProposal, useDesk } from '../desk-state.ts'
import { ChosenMark } from './chosen-mark.tsx'
import { CircumstanceFields } from './circumstance-fields.tsx'
import { KnownFields } from './known-fields.tsx'
import { PhotoFacts } from './photo-facts.tsx'
import { CautionsSaid } from './reading/cautions-said.tsx'
import { Readings } from './reading/readings.tsx'
import { ReferenceName } from './reference-name.tsx'
import { KeepSetup } from './setup/keep-setup.tsx'
import { WhichPanel } from './which-panel.tsx'

/** What the photo shows, how it was taken, what is read in it, and where it goes. */
export function Slip() {
  const desk = useDesk(useShallow((s) => ({ photo: s.photo, aim: s.aim, proposal: s.proposal })))
  if (!desk.photo) return null
  return (
    <section className="tray-slip" aria-label="What the photo shows">
      <div className="tray-slip-in scroll">
        <FiledWord />
        {desk.proposal ? (
          <div className="tray-proposal">
            <p>
              <b>Proposed:</b> marked as on the last photo. Look whether each line lies on its edge.
            </p>
            <CommandButton command={acceptProposal} look="main" />
            <ChangeButton type="button" className="btn" onClick={declineProposal}>
              Mark it anew
            </ChangeButton>
          </div>
        ) : null}
        <ChangeFields>
          <div className="pair tray-aim" role="group" aria-label="What to file it as">
            <button
              type="button"
              aria-pressed={desk.aim === 'panel'}
              onClick={() => useDesk.setState({ aim: 'panel' })}
            >
              A panel
            </button>
            <button
              type="button"
              aria-pressed={desk.aim === 'reference'}
              onClick={() => useDesk.setState({ aim: 'reference' })}
            >
              A reference to match
            </button>
          </div>
          {desk.aim === 'panel' ? <WhichPanel /> : <ReferenceName />}
        </ChangeFields>
        <Readings />
        <ChosenMark />
        <ChangeFields>
          <CircumstanceFields />
          <KnownFields />
        </ChangeFields>
        <PhotoFacts />
        <CautionsSaid said={desk.photo.cautions} />
      </div>
      <Actions />
      <KeepSetup />
    </section>
  )
}

function Actions() {
  // The commands read the desk: they are asked again whenever it changes.
  const desk = useDesk()
  return (
    <div className="tray-acts">
      <CommandButton command={filePhoto} look="main" />
      {desk.photo?.filed ? null : <CommandButton command={setAside} />}
      <CommandButton command={discardPhoto} />
    </div>
  )
}

/** What became of the photo before, with a way to it. */
export function FiledWord() {
  const filed = useDesk((s) => s.filed)
  if (!filed) return null
  return (
    <p className="tray-filed" role="status">
      <span>{filed.words}</span>
      <PlaceLink to={filed.route}>{filed.link}</PlaceLink>
    </p>
  )
}

import { ChangeFields } from '../../../parts/change-only.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import './slip.css'
import { useShallow } from 'zustand/react/shallow'
import { anotherPanel } from '../../../commands/tray/another-panel.ts'
import { discardPhoto } from '../../../commands/tray/discard-photo.ts'
import { filePhoto } from '../../../commands/tray/file-photo.ts'
import { goesOnWith } from '../../../commands/tray/go-on.ts'
import { acceptProposal } from '../../../commands/tray/mark.ts'
import { setAside } from '../../../commands/tray/set-aside.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { useDesk } from '../desk-state.ts'
import { aimAt } from '../proposing/said.ts'
import { ChosenMark } from './chosen-mark.tsx'
import { CircumstanceFields } from './circumstance-fields.tsx'
import { KnownFields } from './known-fields.tsx'
import { PhotoFacts } from './photo-facts.tsx'
import { Doubts, Otherwise, Proposed } from './proposed.tsx'
import { CautionsSaid } from './reading/cautions-said.tsx'
import { Readings } from './reading/readings.tsx'
import { ReferenceName } from './reference-name.tsx'
import { KeepSetup } from './setup/keep-setup.tsx'
import { SheetLine } from './sheet-line.tsx'
import { WhichPanel } from './which-panel.tsx'

/** What the photo shows, how it was taken, what is read in it, and where it goes. */
export function Slip() {
  const desk = useDesk(
    useShallow((s) => ({
      photo: s.photo,
      aim: s.aim,
      hasPanel: s.panel !== null,
      // the list of panels is long, and the colour is what one looks for
      readsFirst: s.panel === null && s.aim === 'panel' && s.marks.list.length > 0,
      taught: s.marks.chart ? (s.marks.sheet?.print.series ?? null) : null,
    })),
  )
  const known = useAnswer('sheets.listKnown', desk.taught === null ? null : {}).value?.sheets
  // a sheet that lies there with a chart and is not known yet waits to be learned
  const teaches = desk.taught !== null && known?.every(({ series }) => series !== desk.taught) === true
  if (!desk.photo) return null
  return (
    <section className="tray-slip" aria-label="What the photo shows">
      <div className="tray-slip-in scroll">
        <FiledWord />
        <ChangeFields>
          <div className="pair tray-aim" role="group" aria-label="What to file it as">
            <button type="button" aria-pressed={desk.aim === 'panel'} onClick={() => aimAt('panel')}>
              A panel
            </button>
            <button type="button" aria-pressed={desk.aim === 'reference'} onClick={() => aimAt('reference')}>
              A reference to match
            </button>
          </div>
          <Proposed />
          {teaches && !desk.hasPanel ? <SheetLine /> : null}
        </ChangeFields>
        {desk.readsFirst ? <Readings /> : null}
        <ChangeFields>
          {desk.aim === 'panel' ? <WhichPanel /> : <ReferenceName />}
          <Otherwise />
          {desk.photo.filed && desk.aim === 'panel' ? <CommandButton command={anotherPanel} /> : null}
        </ChangeFields>
        {desk.readsFirst ? null : <Readings />}
        {teaches && desk.hasPanel ? (
          <ChangeFields>
            <SheetLine />
          </ChangeFields>
        ) : null}
        <ChosenMark />
        <ChangeFields>
          <CircumstanceFields />
          {teaches ? null : <SheetLine />}
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
  const next = goesOnWith(desk)
  // what lay on the last photo is accepted where that is said
  const main = next === acceptProposal && desk.proposal && desk.from === 'last' ? filePhoto : next
  return (
    <div className="tray-acts">
      <Doubts />
      <CommandButton command={main} look="main" />
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
      {filed.others ? (
        <PlaceLink to={{ at: 'tray', photoId: filed.photoId }}>
          {filed.others === 1 ? 'Another panel in this picture' : `${filed.others} more panels in this picture`}
        </PlaceLink>
      ) : null}
    </p>
  )
}

import { useShallow } from 'zustand/react/shallow'
import { isOnlyLookedAt } from '../../../commands/command.ts'
import { findPanel } from '../../../commands/tray/find-panel.ts'
import { acceptProposal, markAsLast } from '../../../commands/tray/mark.ts'
import { keepBoth, keepRetake, lookAgain } from '../../../commands/tray/propose.ts'
import { turnSteps } from '../../../commands/tray/turn-steps.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { sayTime } from '../../../parts/say-time.ts'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { useDesk } from '../desk-state.ts'
import { isChartAlone, openDoubts, retakeNow, whyThisPanel } from '../proposing/found.ts'
import { markAnew } from '../proposing/said.ts'
import { CautionsSaid } from './reading/cautions-said.tsx'

/** What is proposed for the photo and where it comes from; quietly while nobody has looked yet. */
export function Proposed() {
  const [proposal, from, awaited, looking, made, isFiled] = useDesk(
    useShallow((s) => [s.proposal, s.from, s.awaited, s.looking, s.made, s.photo?.filed === true]),
  )
  const panel = useDesk((s) => s.panel)
  const only = useStore(isOnlyLookedAt)
  if (isFiled) return null
  // in a rack that is only looked at nobody looks at photos
  if ((awaited && !only) || looking)
    return (
      <p className="fine tray-note" role="status">
        {looking ? 'Looking at it again…' : 'Being looked at: what is found will be proposed here.'}
      </p>
    )
  if (proposal && from === 'last')
    return (
      <div className="tray-proposal">
        <p>
          <b>Proposed:</b> marked as on the last photo. Look whether each line lies on its edge.
        </p>
        <CommandButton command={acceptProposal} look="main" />
        <MarkAnew look="" />
      </div>
    )
  if (!made) return null
  const words = proposal ? (panel && panel.id === made.panelId ? whyThisPanel(made) : null) : wasFound(made)
  return (
    <div className="tray-found">
      {words === null ? null : <p className="fine">{words}</p>}
      <Said />
    </div>
  )
}

function MarkAnew({ look }: { look: 'plain' | '' }) {
  return (
    <ChangeButton type="button" className={`btn ${look}`} onClick={markAnew}>
      Mark it anew
    </ChangeButton>
  )
}

/** What can be done where the proposal is not what one wants. */
export function Otherwise() {
  const [panel, aim, from, proposal, made, isFiled] = useDesk(
    useShallow((s) => [s.panel !== null, s.aim, s.from, s.proposal, s.made !== null, s.photo?.filed === true]),
  )
  const hasLast = useDesk(
    (s) => s.last !== null && s.marks.list.length === 0 && s.photo?.filed !== true && !isChartAlone(s),
  )
  return (
    <div className="tray-otherwise">
      {panel && aim === 'panel' ? <CommandButton command={findPanel} look="plain" /> : null}
      {made && !isFiled ? <CommandButton command={lookAgain} look="plain" /> : null}
      {proposal && from === 'found' ? <MarkAnew look="plain" /> : null}
      {hasLast ? <CommandButton command={markAsLast} look="plain" /> : null}
    </div>
  )
}

type Made = NonNullable<ReturnType<typeof useDesk.getState>['made']>

const wasFound = ({ state, layout }: Made): string | null =>
  state === 'failed' || layout === null ? 'Nothing was found in it that could be filed.' : null

/** What the phone wrote with it, where that named no panel or light that is known. */
function Said() {
  const [made, panel, lightId] = useDesk(useShallow((s) => [s.made, s.panel, s.circumstances.lightId]))
  const said = made?.said
  if (!said) return null
  const words = [panel ? '' : said.panel.trim(), lightId ? '' : said.light.trim()].filter((word) => word !== '')
  return words.length === 0 ? null : <p className="fine">Sent with the words “{words.join(', ')}”.</p>
}

/** Why it is not filed unseen, with what to do about it: stands beside the button that accepts it all the same. */
export function Doubts() {
  const desk = useDesk()
  const { made, photo } = desk
  if (!made || photo?.filed) return null
  const retake = retakeNow(desk)
  // that it is taken again is said with what can be done about it
  const said = openDoubts(desk).filter(
    // which panel it is, is asked above in so many words; a note asks for nothing
    ({ code, weight }) =>
      code !== 'panel/not-said' && weight !== 'note' && (retake === null || !code.startsWith('retake/')),
  )
  const whichEnd = said.some(({ code }) => code === 'steps/which-end')
  if (said.length === 0 && retake === null) return null
  return (
    <div className="tray-doubts">
      {retake ? <Retake photoId={retake.photoId} name={retake.name} /> : null}
      <CautionsSaid said={said} />
      {whichEnd ? <CommandButton command={turnSteps} /> : null}
    </div>
  )
}

function Retake({ photoId, name }: { photoId: string; name: string }) {
  const settings = useStore((s) => s.settings)
  const takenAt = useAnswer('photos.get', { photoId }).value?.photo.exposure.takenAt ?? null
  return (
    <div className="tray-retake" role="note">
      <p>
        <b>Taken again:</b> {takenAt === null ? name : `the photo of ${sayTime(takenAt, settings)}`} shows it too.
      </p>
      <div className="tray-found-acts">
        <CommandButton command={keepRetake} />
        <CommandButton command={keepBoth} />
      </div>
    </div>
  )
}

import { useShallow } from 'zustand/react/shallow'
import { chordInWords } from '../../../commands/keyboard.ts'
import { useDesk } from '../desk-state.ts'
import { guessesOf, isChartAlone, retakeNow, wantsLook, wantsPanelOnly } from '../proposing/found.ts'

/** The keys of the desk, those that go on first; what cannot be done now is not named. */
export function KeyStrip() {
  const enter = useDesk((s) => {
    if (s.tool) return 'lay it down'
    if (wantsPanelOnly(s)) return 'say which panel'
    if (isChartAlone(s)) return 'keep as set-up'
    return wantsLook(s) ? 'accept' : 'file'
  })
  const hasSteps = useDesk((s) => s.marks.list.some((mark) => mark.kind === 'bands' && mark.stepIds.length > 1))
  const hasGuess = useDesk((s) => guessesOf(s).length > 0)
  const [isFiled, isCorner, retake] = useDesk(
    useShallow((s) => [s.photo?.filed === true, s.chosen?.handle != null, retakeNow(s) !== null]),
  )
  return (
    <p className="keys tray-keys" id="tray-keys">
      <Key keys={['Enter']} does={enter} />
      <Key keys={['PgDn', 'PgUp']} does="next, before" />
      <Key keys={['1–4']} does="corner" />
      <Key keys={['Arrows', 'Shift']} does={isCorner ? 'move, to the edge' : 'move, by ten'} />
      <Key keys={['/']} does="panel" />
      {retake ? <Key keys={['E', 'V']} does="in its place, both" /> : null}
      {hasGuess ? <Key keys={['M']} does="take perhaps" /> : null}
      {isFiled ? null : <Key keys={['L']} does="look again" />}
      {hasSteps ? <Key keys={['O']} does="turn steps" /> : null}
      <Key keys={['P', 'C', 'H']} does="mark" />
      <Key keys={['A']} does="next mark" />
      <Key keys={[chordInWords('Mod+z')]} does="undo" />
      {isFiled ? null : <Key keys={['Shift Enter']} does="later" />}
      <Key keys={['Shift Del']} does="discard" />
    </p>
  )
}

function Key({ keys, does }: { keys: string[]; does: string }) {
  return (
    <span>
      {keys.map((key) => (
        <kbd key={key}>{key}</kbd>
      ))}
      {does}
    </span>
  )
}

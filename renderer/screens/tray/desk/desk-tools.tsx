import { type Command, whatIsMissing } from '../../../commands/command.ts'
import { takeInPhoto } from '../../../commands/match/take-in-photo.ts'
import { markWith } from '../../../commands/tray/mark.ts'
import { snapCorners } from '../../../commands/tray/snap.ts'
import { zoomFit, zoomIn, zoomOut } from '../../../commands/tray/zoom.ts'
import { useStore } from '../../../state/store.ts'
import { type Tool, useDesk } from '../desk-state.ts'

const read: readonly Tool[] = ['panel', 'area', 'round', 'fade']
const known: readonly Tool[] = ['card', 'white', 'black', 'grey', 'chart']

/** What can be marked, and how close one looks. */
export function DeskTools() {
  const tool = useDesk((s) => s.tool)
  const zoomed = useDesk((s) => s.view !== null)
  return (
    <div className="tray-tools" role="toolbar" aria-label="Marking">
      <div className="pair" role="group" aria-label="What is read">
        {read.map((name) => (
          <ToolButton key={name} command={markWith[name]} pressed={tool === name} shortKey={keys[name]} />
        ))}
      </div>
      <div className="pair">
        <ToolButton command={takeInPhoto} shortKey="K" />
      </div>
      <div className="pair">
        <SnapButton />
      </div>
      <div className="pair tray-known-tools" role="group" aria-label="Colours that are known">
        {known.map((name) => (
          <ToolButton key={name} command={markWith[name]} pressed={tool === name} shortKey={keys[name]} />
        ))}
      </div>
      <div className="pair push">
        <ToolButton command={zoomOut} text="−" />
        <ToolButton command={zoomFit} text="Whole" pressed={!zoomed} />
        <ToolButton command={zoomIn} text="+" />
      </div>
    </div>
  )
}

function SnapButton() {
  const snaps = useDesk((s) => s.snaps)
  return <ToolButton command={snapCorners} pressed={snaps} shortKey="S" showsKey />
}

/** The keys that take a tool, or take hold of what is marked with it already: see `desk-keys.ts`. */
const keys: Partial<Record<Tool, string>> = { panel: 'P', card: 'C', white: 'W', black: 'B', grey: 'G', chart: 'H' }

type Props = { command: Command; pressed?: boolean; text?: string; shortKey?: string | undefined; showsKey?: boolean }

function ToolButton({ command, pressed, text, shortKey, showsKey }: Props) {
  const label = useStore((s) => command.label(s))
  const missing = useStore((s) => whatIsMissing(command, s))
  // some ask the desk: told anew whenever it changes
  useDesk(() => whatIsMissing(command, useStore.getState()))
  return (
    <button
      type="button"
      aria-pressed={pressed}
      aria-label={text ? label : undefined}
      aria-keyshortcuts={shortKey}
      aria-disabled={missing !== null}
      title={missing ?? (shortKey ? `${label} (${shortKey})` : label)}
      onClick={() => {
        const state = useStore.getState()
        const now = whatIsMissing(command, state)
        if (now === null) void command.run(state)
        else state.say(now)
        // the keys that go on from here belong to the photo
        document.querySelector<HTMLElement>('.tray-stage')?.focus({ preventScroll: true })
      }}
    >
      {text ?? label}
      {showsKey ? <kbd aria-hidden="true">{shortKey}</kbd> : null}
    </button>
  )
}

const drag = 'drag from one corner to the opposite one, or click four corners.'
const hints: Record<Tool, string> = {
  panel: `The panel: ${drag}`,
  card: `The grey card: ${drag}`,
  area: `One area of one colour: ${drag}`,
  round: 'Curved part: click a spot of even colour, or drag from its middle to its edge. Its bound is larger.',
  white: `A white tile: ${drag}`,
  black: `A black tile: ${drag}`,
  grey: `Another grey, whose Lab you know: ${drag}`,
  chart: 'The chart: click its four corners, first that of patch 1 (dark skin), or drag from corner to corner.',
  fade: `A fade is kept as a picture, without a colour: ${drag}`,
}

/** How the tool in hand is used. */
export function ToolHint() {
  const tool = useDesk((s) => s.tool)
  const set = useDesk((s) => s.corners.length)
  if (!tool) return null
  return (
    <p className="tray-hint" role="status">
      {set > 0 ? (
        `Corner ${set} of 4 is set: click the next.`
      ) : (
        <>
          {hints[tool]} <b>Enter</b> lays it in the middle, to be moved by keys.
        </>
      )}{' '}
      <b>Esc</b> puts the tool away.
    </p>
  )
}

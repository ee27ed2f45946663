import type { Command } from '../../../commands/command.ts'
import { markWith } from '../../../commands/tray/mark.ts'
import { zoomFit, zoomIn, zoomOut } from '../../../commands/tray/zoom.ts'
import { useStore } from '../../../state/store.ts'
import { type Tool, useDesk } from '../desk-state.ts'

const order: readonly Tool[] = ['panel', 'card', 'area', 'round', 'fade']

/** What can be marked, and how close one looks. */
export function DeskTools() {
  const tool = useDesk((s) => s.tool)
  const zoomed = useDesk((s) => s.view !== null)
  return (
    <div className="tray-tools" role="toolbar" aria-label="Marking">
      <div className="pair">
        {order.map((name) => (
          <ToolButton key={name} command={markWith[name]} pressed={tool === name} />
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

function ToolButton({ command, pressed, text }: { command: Command; pressed?: boolean; text?: string }) {
  const label = useStore((s) => command.label(s))
  return (
    <button
      type="button"
      aria-pressed={pressed}
      aria-label={text ? label : undefined}
      title={label}
      onClick={() => {
        void command.run(useStore.getState())
        // the keys that go on from here belong to the photo
        document.querySelector<HTMLElement>('.tray-stage')?.focus({ preventScroll: true })
      }}
    >
      {text ?? label}
    </button>
  )
}

const drag = 'drag from one corner to the opposite one, or click four corners.'
const hints: Record<Tool, string> = {
  panel: `The panel: ${drag}`,
  card: `The grey card: ${drag}`,
  area: `One area of one colour: ${drag}`,
  round: 'Curved part: click a spot of even colour, or drag from its middle to its edge. Its bound is larger.',
  fade: `A fade is kept as a picture, without a colour: ${drag}`,
}

/** How the tool in hand is used. */
export function ToolHint() {
  const tool = useDesk((s) => s.tool)
  const set = useDesk((s) => s.corners.length)
  if (!tool) return null
  return (
    <p className="tray-hint" role="status">
      {set > 0 ? `Corner ${set} of 4 is set: click the next.` : hints[tool]} <b>Enter</b> lays it in the middle, to be
      moved by keys. <b>Esc</b> puts the tool away.
    </p>
  )
}

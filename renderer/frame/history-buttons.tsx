import { redo } from '../commands/app/redo.ts'
import { undo } from '../commands/app/undo.ts'
import { redoMarks, undoMarks } from '../commands/tray/undo-marks.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { useDesk } from '../screens/tray/desk-state.ts'
import { useStore } from '../state/store.ts'

/**
 * What was done last, and what was undone last: in the Tray what is marked comes first, as by keys. Where there is little room
 * the code of what it was about stays longest.
 */
export function HistoryButtons() {
  const inTray = useStore((s) => s.route.at === 'tray')
  const marked = useDesk((s) => inTray && s.past.length > 0)
  const unmarked = useDesk((s) => inTray && s.future.length > 0)
  const last = useStore((s) => s.rack?.undo ?? null)
  const next = useStore((s) => s.rack?.redo ?? null)
  const undoes = marked ? 'marking' : last
  const redoes = unmarked ? 'marking' : next
  return (
    <div className="history">
      <CommandButton command={inTray ? undoMarks : undo} look="plain">
        <Shortened verb="Undo" what={undoes} />
      </CommandButton>
      {redoes === null ? null : (
        <CommandButton command={inTray ? redoMarks : redo} look="plain">
          <Shortened verb="Redo" what={redoes} />
        </CommandButton>
      )}
    </div>
  )
}

/** Codes of panels, jobs, cups and materials are letters, a dash and digits, unless somebody wrote one by hand. */
const codeAtEnd = /^(.*\S)\s+(\p{Lu}{1,4}-\d{3,})$/u

function Shortened({ verb, what }: { verb: string; what: string | null }) {
  const [, before = what ?? '', code = ''] = codeAtEnd.exec(what ?? '') ?? []
  return (
    <>
      <span>{verb}</span>
      <span className="history-what">{before}</span>
      {code === '' ? null : <span className="history-code">{code}</span>}
    </>
  )
}

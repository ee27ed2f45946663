import { redo } from '../commands/app/redo.ts'
import { undo } from '../commands/app/undo.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { useStore } from '../state/store.ts'

/** What was done last, and what was undone last. Where there is little room the code of what it was about stays longest. */
export function HistoryButtons() {
  const undoes = useStore((s) => s.rack?.undo ?? null)
  const redoes = useStore((s) => s.rack?.redo ?? null)
  return (
    <div className="history">
      <CommandButton command={undo} look="plain">
        <Shortened verb="Undo" what={undoes} />
      </CommandButton>
      {redoes === null ? null : (
        <CommandButton command={redo} look="plain">
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

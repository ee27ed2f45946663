import { useState } from 'react'
import { changeChosen, panelsInWords } from '../../../commands/chosen/change-many.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { Cross } from '../../../parts/icons.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { closeRackDialog } from '../../../state/rack-dialog.ts'
import { useStore } from '../../../state/store.ts'
import { Suggested } from './suggested.tsx'

/** Up to here it is told which tags the chosen panels carry; beyond, all tags of the rack are offered. */
const mostTold = 200

/** Puts tags on all chosen panels and takes others off, at once. */
export function TagsDialog() {
  const chosen = useStore((s) => s.chosen)
  const [text, setText] = useState('')
  const [on, setOn] = useState<string[]>([])
  const [off, setOff] = useState<string[]>([])
  const known = useAnswer('panels.listWords', {}).value?.tags ?? []
  const carried = useCarried(chosen, known)
  const panels = panelsInWords(chosen.length)

  const take = (name: string) => {
    setOn((now) => (now.includes(name) ? now : [...now, name]))
    setOff((now) => now.filter((other) => other !== name))
    setText('')
  }
  const turnOff = (name: string) =>
    setOff((now) => (now.includes(name) ? now.filter((t) => t !== name) : [...now, name]))
  // a name that stands in the field is meant
  const wanted = text.trim() === '' || on.includes(text.trim()) ? on : [...on, text.trim()]
  const nothing = wanted.length === 0 && off.length === 0
  const save = async () => {
    const change = {
      ...(wanted.length > 0 ? { addTags: wanted } : {}),
      ...(off.length > 0 ? { removeTags: off.filter((name) => !wanted.includes(name)) } : {}),
    }
    if (await changeChosen(useStore.getState(), change, (changed) => inWords(changed, wanted, off))) closeRackDialog()
  }
  return (
    <Dialog title={`Tags of ${panels}`} onClose={closeRackDialog}>
      <Suggested
        label="Put on"
        text={text}
        known={known.filter((name) => !on.includes(name))}
        onText={setText}
        onTake={take}
      />
      {on.length > 0 ? (
        <div className="rack-suggestions" role="group" aria-label="To be put on">
          {on.map((name) => (
            <button
              key={name}
              type="button"
              className="word is-taken"
              aria-label={`Do not put on ${name}`}
              onClick={() => setOn((now) => now.filter((other) => other !== name))}
            >
              <span>{name}</span>
              <Cross />
            </button>
          ))}
        </div>
      ) : null}
      {carried.length > 0 ? (
        <fieldset className="rack-take-off">
          <legend className="fine">Take off</legend>
          {carried.map(({ name, count }) => (
            <label key={name} className="check">
              <input type="checkbox" checked={off.includes(name)} onChange={() => turnOff(name)} />
              <span>
                {name}
                {count === null ? null : (
                  <span className="fine">
                    {count === chosen.length ? ' on all' : ` on ${count} of ${chosen.length}`}
                  </span>
                )}
              </span>
            </label>
          ))}
        </fieldset>
      ) : null}
      <div className="rack-acts">
        <button
          type="button"
          className="btn main"
          aria-disabled={nothing}
          onClick={() => (nothing ? null : void save())}
        >
          {`Change ${panels}`}
        </button>
        <button type="button" className="btn" onClick={closeRackDialog}>
          Leave as they are
        </button>
      </div>
    </Dialog>
  )
}

/** Which tags the chosen panels carry, and on how many; null where that would be too much to ask. */
function useCarried(chosen: readonly string[], known: readonly string[]): { name: string; count: number | null }[] {
  const told = chosen.length <= mostTold
  const { value } = useAnswer('panels.summaries', told ? { ids: [...chosen] } : null)
  if (!told) return known.map((name) => ({ name, count: null }))
  const counts = new Map<string, number>()
  for (const { tags } of value?.panels ?? []) for (const name of tags) counts.set(name, (counts.get(name) ?? 0) + 1)
  return [...counts].map(([name, count]) => ({ name, count })).toSorted((a, b) => b.count - a.count)
}

function inWords(panels: string, on: readonly string[], off: readonly string[]): string {
  const quoted = (names: readonly string[]) => names.map((name) => `“${name}”`).join(', ')
  const said = [on.length > 0 ? `${quoted(on)} put on` : '', off.length > 0 ? `${quoted(off)} taken off` : '']
  return `${panels}: ${said.filter(Boolean).join(', ')}.`
}

import './rack.css'
import { useMemo, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { noFilter } from '../../../shared-core/records/panel.ts'
import { Caution } from '../../parts/caution.tsx'
import { useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'
import { hang } from './arrange.ts'
import { ChosenBar } from './chosen-bar.tsx'
import { DoubtDialog } from './doubt-mark.tsx'
import { useDoubts } from './doubts.ts'
import { EmptyRack } from './empty-rack.tsx'
import { FilterSentence } from './filter-sentence.tsx'
import { NothingFits } from './nothing-fits.tsx'
import { RackTools } from './rack-tools.tsx'
import { Wall } from './wall.tsx'

/** The wall that all panels hang on. */
export function RackPlace() {
  const [filter, sort, grouped] = useStore(useShallow((s) => [s.filter, s.sort, s.groupByGround]))
  const [choosing, setChoosing] = useChoosing()
  const { value, error } = useAnswer('panels.list', { filter, sort })
  const [last, setLast] = useState(value)
  // while a newly worded question is on its way, what hung there stays
  if (value && value !== last) setLast(value)
  const shown = value ?? last
  const hooks = useMemo(() => hang(shown?.panels ?? [], grouped), [shown, grouped])
  const doubts = useDoubts(shown !== undefined)
  const [asked, setAsked] = useState<string | null>(null)
  const suspects = asked === null ? undefined : doubts.get(asked)
  if (error) return <RackTrouble message={error.message} remedy={error.remedy} />
  if (!shown) return <main className="rack" aria-busy="true" />
  if (shown.total === 0) return <EmptyRack />
  return (
    <main className="rack">
      <section className="rack-query" aria-label="What is shown">
        <FilterSentence filter={filter} shown={shown.panels.length} total={shown.total} />
        <RackTools choosing={choosing} onChoosing={setChoosing} />
      </section>
      {hooks.length === 0 ? (
        <NothingFits filter={filter} />
      ) : (
        <Wall
          hooks={hooks}
          choosing={choosing}
          onChoosing={setChoosing}
          doubts={doubts}
          onDoubt={setAsked}
          listKey={JSON.stringify([filter, sort, grouped])}
        />
      )}
      <ChosenBar hooks={hooks} />
      {suspects ? <DoubtDialog suspects={suspects} onClose={() => setAsked(null)} /> : null}
    </main>
  )
}

/** Whether a press chooses instead of opening; ends by itself when everything has been let go. */
function useChoosing(): [boolean, (on: boolean) => void] {
  const count = useStore((s) => s.chosen.length)
  const [choosing, setChoosing] = useState(false)
  const [before, setBefore] = useState(count)
  if (before !== count) {
    setBefore(count)
    if (count === 0) setChoosing(false)
  }
  return [choosing, setChoosing]
}

function RackTrouble({ message, remedy }: { message: string; remedy: string }) {
  const setView = useStore((s) => s.setView)
  return (
    <main className="rack-alone">
      <Caution message={message} remedy={remedy} />
      <button type="button" className="btn" onClick={() => setView({ filter: { ...noFilter }, sort: 'code' })}>
        Show all panels
      </button>
    </main>
  )
}

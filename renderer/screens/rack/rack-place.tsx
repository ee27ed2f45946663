import './rack.css'
import { useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { noFilter } from '../../../shared-core/records/panel.ts'
import { Caution } from '../../parts/caution.tsx'
import { useRackDialog } from '../../state/rack-dialog.ts'
import { useOrder } from '../../state/rack-order.ts'
import { useStore } from '../../state/store.ts'
import { ChosenBar } from './chosen/chosen-bar.tsx'
import { GroundDialog } from './chosen/ground-dialog.tsx'
import { TagsDialog } from './chosen/tags-dialog.tsx'
import { EmptyRack } from './empty-rack.tsx'
import { ColourMap } from './map/colour-map.tsx'
import { NothingFits } from './nothing-fits.tsx'
import { RackTools } from './rack-tools.tsx'
import { DoubtDialog } from './wall/doubt-mark.tsx'
import { useDoubts } from './wall/doubts.ts'
import { Wall } from './wall/wall.tsx'
import { FilterSentence } from './words/filter-sentence.tsx'
import { SavedSearches } from './words/saved-searches.tsx'

/** The wall that all panels hang on, and the same panels as a map of their colours. */
export function RackPlace() {
  const [filter, rackView] = useStore(useShallow((s) => [s.filter, s.rackView]))
  // while a newly worded question is on its way, what hung there stays
  const { order, error, behind } = useOrder()
  const doubts = useDoubts(order !== null)
  const [asked, setAsked] = useState<string | null>(null)
  const suspects = asked === null ? undefined : doubts.get(asked)
  if (error) return <RackTrouble message={error.message} remedy={error.remedy} />
  if (!order) return <main className="rack" aria-busy="true" />
  if (order.total === 0) return <EmptyRack />
  return (
    <main className="rack">
      <section className="rack-query" aria-label="What is shown">
        <FilterSentence order={order} behind={behind} />
        <RackTools />
      </section>
      {order.ids.length === 0 ? (
        <NothingFits filter={filter} />
      ) : rackView === 'map' ? (
        <ColourMap filter={filter} />
      ) : (
        <Wall order={order} doubts={doubts} onDoubt={setAsked} />
      )}
      <ChosenBar order={order} />
      {suspects ? <DoubtDialog suspects={suspects} onClose={() => setAsked(null)} /> : null}
      <RackDialogs />
    </main>
  )
}

function RackDialogs() {
  const open = useRackDialog((s) => s.open)
  switch (open) {
    case 'tags':
      return <TagsDialog />
    case 'ground':
      return <GroundDialog />
    case 'searches':
      return <SavedSearches />
    case null:
      return null
  }
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

import './list.css'
import { useLayoutEffect, useRef } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { isToBuy } from '../../../../shared-core/mix/stock.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { newMaterial } from '../../../commands/shelf/new-material.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { type ShelfSort, useShelf } from '../../../state/shelf.ts'
import { useStore } from '../../../state/store.ts'
import { useModelAsked } from '../../../state/suspects.ts'
import { useWording } from '../../mix/say-amounts.ts'
import { kindsInWords } from '../kinds-in-words.ts'
import { walkRows } from '../row-keys.ts'
import { costUnit } from '../stock-words.ts'
import { arrange } from './arrange.ts'
import { EmptyShelf } from './empty-shelf.tsx'
import { MaterialRow } from './material-row.tsx'
import { StillMixed } from './still-mixed.tsx'

/** Every material by kind, or what can still be mixed of them. */
export function MaterialsList() {
  const { value, error } = useAnswer('materials.list', {})
  const view = useShelf((s) => s.view)
  if (error)
    return (
      <main className="shelf" aria-label="Shelf">
        <Caution message={error.message} remedy={error.remedy} />
      </main>
    )
  if (!value) return <main className="shelf" aria-label="Shelf" aria-busy="true" />
  if (value.materials.length === 0) return <EmptyShelf />
  return (
    <main className="shelf" aria-label="Shelf">
      <header className="shelf-head">
        <h1 className="title">Shelf</h1>
        <div className="pair" role="group" aria-label="What is shown">
          <ViewButton view="materials" name={`Materials (${value.materials.length})`} />
          <ViewButton view="still-mixed" name="What can still be mixed" />
        </div>
        <span className="push">
          <CommandButton command={newMaterial} look="main" />
        </span>
      </header>
      {view === 'materials' ? <Materials materials={value.materials} /> : <StillMixed />}
    </main>
  )
}

function ViewButton({ view, name }: { view: 'materials' | 'still-mixed'; name: string }) {
  const pressed = useShelf((s) => s.view === view)
  return (
    <button type="button" aria-pressed={pressed} onClick={() => useShelf.setState({ view })}>
      {name}
    </button>
  )
}

const sorts: Readonly<Record<ShelfSort, string>> = {
  name: 'name',
  'to-buy': 'what to buy first',
  opened: 'longest open',
  cost: 'dearest',
}

function Materials({ materials }: { materials: readonly Material[] }) {
  const [words, sort, toBuyOnly] = useShelf(useShallow((s) => [s.words, s.sort, s.toBuyOnly]))
  const wording = useWording()
  const asked = useModelAsked()
  const colours = useAnswer('film.describe', asked ? {} : null).value?.knows.candies ?? []
  const toBuy = materials.filter(isToBuy).length
  const rails = arrange(materials, { words, sort, toBuyOnly: toBuyOnly && toBuy > 0 })
  const scrolled = useKeptScroll()
  return (
    <>
      <div className="shelf-tools">
        <label className="shelf-find">
          <span className="vh">Find a material</span>
          <input
            id="shelf-find"
            className="input"
            type="search"
            placeholder="Find by name, maker, batch, kind"
            value={words}
            onChange={(event) => useShelf.setState({ words: event.target.value })}
          />
        </label>
        <label className="shelf-sort">
          <span>Sorted by</span>
          <select
            className="select"
            value={sort}
            onChange={(event) => useShelf.setState({ sort: event.target.value as ShelfSort })}
          >
            {Object.entries(sorts).map(([key, name]) => (
              <option key={key} value={key}>
                {name}
              </option>
            ))}
          </select>
        </label>
        {toBuy > 0 ? (
          <label className="check">
            <input
              type="checkbox"
              checked={toBuyOnly}
              onChange={(event) => useShelf.setState({ toBuyOnly: event.target.checked })}
            />
            {`Only what to buy again (${toBuy})`}
          </label>
        ) : null}
      </div>
      {rails.length === 0 ? (
        <p className="lead">
          Nothing on the shelf says that.{' '}
          <button type="button" className="btn" onClick={() => useShelf.setState({ words: '', toBuyOnly: false })}>
            Show everything
          </button>
        </p>
      ) : (
        <div ref={scrolled} className="shelf-scroll scroll">
          <table ref={walkRows} className="shelf-table">
            <thead>
              <tr>
                {['Name', 'On hand', 'Batch', 'Opened', 'Density', 'Solids'].map((name) => (
                  <th key={name} scope="col">
                    {name}
                  </th>
                ))}
                <th scope="col">{`Cost by the ${costUnit(wording).name}`}</th>
                <th scope="col">Data sheet</th>
              </tr>
            </thead>
            {rails.map((rail) => (
              <tbody key={rail.kind}>
                <tr className="shelf-rail">
                  <th colSpan={8} scope="rowgroup">
                    {kindsInWords(rail.kind)} <span className="num">{rail.materials.length}</span>
                    {rail.kind === 'concentrate' ? (
                      <span className="fine">Predicted at one cover over a bright ground; a screen preview.</span>
                    ) : null}
                  </th>
                </tr>
                {rail.materials.map((material) => (
                  <MaterialRow
                    key={material.id}
                    material={material}
                    lab={colours.find(({ id }) => id === material.id)?.lab ?? null}
                    replacedBy={materials.find(({ id }) => id === material.replacedById)?.name ?? null}
                  />
                ))}
              </tbody>
            ))}
          </table>
        </div>
      )}
    </>
  )
}

/** Going back returns to the same spot. */
function useKeptScroll() {
  const list = useRef<HTMLDivElement>(null)
  useLayoutEffect(() => {
    const element = list.current
    if (!element) return
    const { scrolls, keepScroll } = useStore.getState()
    element.scrollTop = scrolls['shelf'] ?? 0
    const keep = () => keepScroll('shelf', element.scrollTop)
    element.addEventListener('scroll', keep)
    return () => element.removeEventListener('scroll', keep)
  }, [])
  return list
}

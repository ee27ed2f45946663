import { ChangeFields } from '../../../parts/change-only.tsx'
import './material.css'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { leaveMaterial } from '../../../commands/shelf/leave-material.ts'
import { neededBy, removeMaterial } from '../../../commands/shelf/remove-material.ts'
import { replaceMaterial } from '../../../commands/shelf/replace-material.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { ArrowBack } from '../../../parts/icons.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { act, useAnswer } from '../../../state/asking.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { kindInWords } from '../kinds-in-words.ts'
import { DataSheet } from './data-sheet.tsx'
import { FactsForm } from './facts-form.tsx'
import { MaterialRail } from './material-rail.tsx'
import { OnHand } from './on-hand.tsx'
import { Past, Uses } from './uses.tsx'

/** One material: how much there is of it, what is known, where it is used and what became of it. */
export function MaterialPage({ materialId }: { materialId: string }) {
  const { value } = useAnswer('materials.list', {})
  const history = useAnswer('shelf.history', { materialId }).value
  const material = value?.materials.find(({ id }) => id === materialId)
  if (!value) return <main className="material-absent" aria-label="Material" aria-busy="true" />
  if (!material)
    return (
      <main className="material-absent" aria-label="Material">
        <Caution
          message="This material is not on the shelf (any more)."
          remedy="If it was removed just now, Undo brings it back."
        />
        <button type="button" className="btn" onClick={() => go({ at: 'shelf', materialId: null }, 'replace')}>
          The whole shelf
        </button>
      </main>
    )
  return (
    <main className="material" aria-label={material.name}>
      <Head material={material} materials={value.materials} />
      <MaterialRail materials={value.materials} openId={material.id} />
      <div className="material-body scroll">
        <div className="material-main">
          <ChangeFields>
            <OnHand material={material} />
            <FactsForm material={material} />
          </ChangeFields>
        </div>
        <div className="material-side">
          <DataSheet material={material} />
          {history ? <Uses history={history} /> : null}
          {history ? <Past material={material} history={history} materials={value.materials} /> : null}
          <Leaving />
        </div>
      </div>
    </main>
  )
}

function Head({ material, materials }: { material: Material; materials: readonly Material[] }) {
  const { id, name, kind, makerName, onShelf, replacedById } = material
  const by = materials.find((each) => each.id === replacedById)
  return (
    <header className="material-head">
      <button type="button" className="btn" onClick={() => void leaveMaterial.run(useStore.getState())}>
        <ArrowBack /> Shelf
      </button>
      <div>
        <h1 className="title">{name}</h1>
        <p className="fine">
          {[kindInWords(kind), makerName].filter(Boolean).join(', ')}
          {by ? (
            <>
              . Replaced by{' '}
              <PlaceLink className="shelf-panel" to={{ at: 'shelf', materialId: by.id }}>
                {by.name}
              </PlaceLink>
            </>
          ) : null}
        </p>
      </div>
      <label className="check">
        <ChangeFields>
          <input
            type="checkbox"
            checked={onShelf}
            onChange={(event) => void act('materials.setOnShelf', { materialIds: [id], onShelf: event.target.checked })}
          />
        </ChangeFields>
        On the shelf
      </label>
    </header>
  )
}

/** What takes it out of formulas or off the rack for good. */
function Leaving() {
  const needed = useStore(neededBy)
  return (
    <section className="block">
      <h2>When it is no longer used</h2>
      <p className="shelf-acts">
        <CommandButton command={replaceMaterial} />
        <CommandButton command={removeMaterial} />
      </p>
      {needed === null ? null : (
        <p className="fine">{needed} Take it off the shelf instead, or put another in its place.</p>
      )}
    </section>
  )
}

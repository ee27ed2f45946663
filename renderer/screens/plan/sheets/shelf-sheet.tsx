import type { FilmKnowledge } from '../../../../shared-core/records/film.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { ChangeButton, ChangeFields } from '../../../parts/change-only.tsx'
import { Dialog } from '../../../parts/dialog.tsx'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { act, useAnswer } from '../../../state/asking.ts'
import { closeSheet } from '../../../state/plan-dialog.ts'

/** Ticks for the candies on hand: suggestions may be told to keep to them. */
export function ShelfSheet({ knows }: { knows: FilmKnowledge }) {
  const { value } = useAnswer('materials.list', {})
  const candies = value?.materials.filter(({ kind }) => kind === 'concentrate') ?? []
  const here = candies.filter(({ onShelf }) => onShelf).length
  const all = candies.length > 0 && here === candies.length
  const set = (materials: readonly Material[], onShelf: boolean) =>
    void act('materials.setOnShelf', { materialIds: materials.map(({ id }) => id), onShelf })
  return (
    <Dialog title="What is on the shelf" onClose={closeSheet}>
      <p className="fine">{`${here} of ${candies.length} candies. Suggestions that keep to the shelf use these.`}</p>
      <ul className="plan-candies scroll" aria-busy={!value}>
        {candies.map((material) => (
          <li key={material.id}>
            <label className="plan-candy">
              <Paint lab={knows.candies.find(({ id }) => id === material.id)?.lab ?? null} label="" />
              <span>
                <b>{material.name}</b>
                {material.makerName ? <span className="fine">{material.makerName}</span> : null}
              </span>
              <ChangeFields>
                <input
                  type="checkbox"
                  checked={material.onShelf}
                  onChange={(event) => set([material], event.target.checked)}
                />
              </ChangeFields>
            </label>
          </li>
        ))}
      </ul>
      <div className="plan-acts">
        <button type="button" className="btn main" onClick={closeSheet}>
          Done
        </button>
        {candies.length > 0 ? (
          <ChangeButton
            type="button"
            className="btn plain"
            onClick={() =>
              set(
                candies.filter(({ onShelf }) => onShelf === all),
                !all,
              )
            }
          >
            {all ? 'Take all off' : 'Put all on'}
          </ChangeButton>
        ) : null}
        <PlaceLink className="btn plain" to={{ at: 'shelf', materialId: null }}>
          Open the shelf
        </PlaceLink>
      </div>
    </Dialog>
  )
}

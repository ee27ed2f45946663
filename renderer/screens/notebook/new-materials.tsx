import type { NotebookMaterial } from '../../../shared-core/contract/panels-csv-calls.ts'
import { nameKey } from '../../../shared-core/mix/material-names.ts'
import { MaterialKind } from '../../../shared-core/records/mixture.ts'
import type { NotebookChoices } from '../../../shared-core/records/notebook.ts'
import { useAnswer } from '../../state/asking.ts'
import { kindInWords, kindsInOrder } from '../shelf/kinds-in-words.ts'
import { countOf } from './notebook-words.ts'

type Said = NotebookChoices['materials']
type Props = { materials: readonly NotebookMaterial[]; said: Said; onSaid: (said: Said) => void }

/** Materials that the shelf does not have by these names: new ones of some kind, or known ones written otherwise. */
export function NewMaterials({ materials, said, onSaid }: Props) {
  const shelf = useAnswer('materials.list', {}).value?.materials ?? []
  if (materials.length === 0) return null
  const set = (material: NotebookMaterial, value: string) => {
    const others = said.filter(({ name }) => nameKey(name) !== nameKey(material.name))
    const at = value.indexOf(':')
    const [what, id] = [value.slice(0, at), value.slice(at + 1)]
    const known = what === 'is' ? shelf.find((each) => each.id === id) : undefined
    const kind = known?.kind ?? MaterialKind.parse(what === 'new' ? id : material.kind)
    onSaid([...others, { name: material.name, kind, materialId: known?.id ?? null }])
  }
  const isSaid = materials.filter(({ materialId }) => materialId === null).length
  return (
    <section className="block notebook-materials" aria-label="Materials not on the shelf">
      <p>
        <b>
          {isSaid === 0
            ? 'Every material is on the shelf.'
            : `${countOf(isSaid, 'material')} will be new on the shelf.`}
        </b>{' '}
        Kinds are guessed from the names: set them right here.
      </p>
      <ul>
        {materials.map((material) => (
          <li key={nameKey(material.name)}>
            <span>
              <b>{material.name}</b> <span className="fine">{countOf(material.count, 'panel')}</span>
              {material.near && material.materialId === null ? (
                <span className="fine notebook-near">{`written much like ${material.near.name}`}</span>
              ) : null}
            </span>
            <select
              className="select"
              aria-label={`What ${material.name} is`}
              value={material.materialId === null ? `new:${material.kind}` : `is:${material.materialId}`}
              onChange={(event) => set(material, event.target.value)}
            >
              <optgroup label="New on the shelf">
                {kindsInOrder.map((kind) => (
                  <option key={kind} value={`new:${kind}`}>
                    {`new: ${kindInWords(kind).toLowerCase()}`}
                  </option>
                ))}
              </optgroup>
              <optgroup label="On the shelf, written otherwise">
                {[...shelf]
                  .toSorted((a, b) => Number(b.id === material.near?.id) - Number(a.id === material.near?.id))
                  .map((each) => (
                    <option key={each.id} value={`is:${each.id}`}>
                      {`it is ${each.name}`}
                    </option>
                  ))}
              </optgroup>
            </select>
          </li>
        ))}
      </ul>
    </section>
  )
}

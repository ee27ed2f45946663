import type { Lab } from '../../../../shared-core/colour/lab.ts'
import { formatQuantity, formatShort } from '../../../../shared-core/mix/units.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { webLink } from '../../../../shared-core/records/web-link.ts'
import { SmallTriangle } from '../../../parts/icons.tsx'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { go } from '../../../state/router.ts'
import { useWording } from '../../mix/say-amounts.ts'
import { openSheet } from '../sheet-actions.ts'
import { costInWords, markInWords, onHandInWords, stockAdvice } from '../stock-words.ts'
import { WebLink } from '../web-link.tsx'

type Props = {
  material: Material
  /** Its colour as the panels show it; null: not known, or not a colour. */
  lab: Lab | null
  replacedBy: string | null
}

/** One material; the whole row leads to it. */
export function MaterialRow({ material, lab, replacedBy }: Props) {
  const wording = useWording()
  const { system, decimal } = wording
  const { name, makerName, batch, openedOn, densityKgPerL: density, volumeSolidsPercent: solids } = material
  const to = { at: 'shelf', materialId: material.id } as const
  const advice = stockAdvice(material)
  return (
    <tr
      className={material.onShelf ? 'shelf-row' : 'shelf-row is-off'}
      onClick={(event) => {
        if (event.target instanceof Element && !event.target.closest('a, button')) go(to)
      }}
    >
      <th scope="row">
        <PlaceLink data-row to={to}>
          {material.kind === 'concentrate' ? <Paint lab={lab} label="" /> : null}
          <span>
            <b>{name}</b>
            {makerName === '' ? null : <span className="fine">{makerName}</span>}
            {replacedBy === null ? null : <span className="fine">{`Replaced by ${replacedBy}`}</span>}
          </span>
        </PlaceLink>
      </th>
      <td data-label="On hand" className="shelf-on-hand">
        <span className={material.onHand === null ? '' : 'num'}>{onHandInWords(material, wording)}</span>
        {advice === '' ? null : (
          <span className="shelf-advice">
            {advice === 'Buy again' ? <SmallTriangle /> : null}
            {advice === 'Buy again' ? `${advice}, ${markInWords(material, wording)}` : advice}
          </span>
        )}
      </td>
      <Fact label="Batch" says={batch} />
      <Fact label="Opened" says={openedOn === null ? '' : sayDay(openedOn)} />
      <Fact label="Density" says={density === null ? '' : formatQuantity(density, 'density', system, decimal)} />
      <Fact label="Solids" says={solids === null ? '' : `${formatShort(solids, 1, decimal)} %`} />
      <Fact label="Cost" says={costInWords(material, wording)} />
      <td data-label="Data sheet">
        <Sheet material={material} />
      </td>
    </tr>
  )
}

const Fact = ({ label, says }: { label: string; says: string }) => (
  <td data-label={label} className={says === '' ? 'num is-empty' : 'num'}>
    {says === '' ? <span className="vh">not known</span> : says}
  </td>
)

function Sheet({ material: { id, name, dataSheet, dataSheetFile } }: { material: Material }) {
  if (dataSheetFile)
    return (
      <button
        type="button"
        className="btn plain"
        aria-label={`Open the data sheet of ${name}`}
        onClick={() => void openSheet(id)}
      >
        Open
      </button>
    )
  if (dataSheet === '') return null
  return webLink(dataSheet) === null ? <span>{dataSheet}</span> : <WebLink typed={dataSheet} label="Link" />
}

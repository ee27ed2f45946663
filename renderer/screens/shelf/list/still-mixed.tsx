import { useState } from 'react'
import type { Output } from '../../../../shared-core/contract/calls.ts'
import { formatQuantity } from '../../../../shared-core/mix/units.ts'
import type { PanelSummary } from '../../../../shared-core/records/panel.ts'
import { Caution } from '../../../parts/caution.tsx'
import { SmallTriangle } from '../../../parts/icons.tsx'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { usePanelsBy } from '../../../state/panels-by.ts'
import { useWording, type Wording } from '../../mix/say-amounts.ts'

type Formula = Output<'shelf.listMixable'>['formulas'][number]

/** Rows that are shown at once: the others are one press away. */
const offered = 60

/** How much of each panel's candy what is on hand would still make. */
export function StillMixed() {
  const { value, error } = useAnswer('shelf.listMixable', {})
  if (error) return <Caution message={error.message} remedy={error.remedy} />
  if (!value) return <div className="shelf-scroll" aria-busy="true" />
  const { formulas } = value
  const isMissing = ({ missing, volumeMl }: Formula) => missing.length > 0 || volumeMl === 0
  const missing = formulas.filter(isMissing)
  const rest = formulas.filter((formula) => !isMissing(formula))
  return (
    <div className="shelf-scroll scroll">
      <p className="shelf-says">
        Ready to spray, from what was counted. What nobody counted is taken to be there, and is named beside it.
      </p>
      {formulas.length === 0 ? (
        <p className="lead">No panel has a candy with a formula yet. Write one down on a panel, and it stands here.</p>
      ) : null}
      <Group title="Can be mixed" formulas={rest.filter(({ volumeMl }) => volumeMl !== null)} />
      <Group title="Nothing in it was counted" formulas={rest.filter((f) => f.volumeMl === null)} />
      <Group title="Something is missing" formulas={missing} />
    </div>
  )
}

type GroupProps = { title: string; formulas: readonly Formula[] }

function Group({ title, formulas }: GroupProps) {
  const [all, setAll] = useState(false)
  const wording = useWording()
  const shown = all ? formulas : formulas.slice(0, offered)
  const panels = new Map(usePanelsBy({ ids: shown.map(({ panelId }) => panelId) }).map((panel) => [panel.id, panel]))
  if (formulas.length === 0) return null
  return (
    <section className="shelf-mixable">
      <h2 className="railname">
        {title} <span className="num">{formulas.length}</span>
      </h2>
      <ul>
        {shown.map((formula) => (
          <Row key={formula.panelId} formula={formula} panel={panels.get(formula.panelId)} wording={wording} />
        ))}
      </ul>
      {shown.length < formulas.length ? (
        <button type="button" className="btn" onClick={() => setAll(true)}>
          {`Show ${formulas.length - shown.length} more`}
        </button>
      ) : null}
    </section>
  )
}

function Row({ formula, panel, wording }: { formula: Formula; panel: PanelSummary | undefined; wording: Wording }) {
  const { code, title, volumeMl, limitedBy, missing, notCounted } = formula
  const amount = volumeMl === null ? null : formatQuantity(volumeMl, 'volume', wording.system, wording.decimal)
  const band = panel?.bands.at(-1)
  return (
    <li>
      <Paint lab={band?.lab ?? null} cut={band?.cut ?? null} label="" />
      <PanelWay code={code} title={title} />
      <b className="num shelf-amount">{amount === null ? '' : volumeMl === 0 ? 'none' : amount}</b>
      <span className="shelf-why">
        {missing.length > 0 ? (
          <span>
            <SmallTriangle /> Missing: {missing.join(', ')}
          </span>
        ) : limitedBy !== null ? (
          <span>{`until ${limitedBy} is used up`}</span>
        ) : null}
        {notCounted.length > 0 ? <span className="fine">Not counted: {notCounted.join(', ')}</span> : null}
      </span>
      {missing.length === 0 && volumeMl !== 0 ? (
        <PlaceLink className="btn" to={{ at: 'mix', cupId: null, from: { kind: 'panel', key: code } }}>
          Mix it<span className="vh"> as {code}</span>
        </PlaceLink>
      ) : null}
    </li>
  )
}

const PanelWay = ({ code, title }: { code: string; title: string }) => (
  <PlaceLink className="shelf-panel" to={{ at: 'panel', key: code }}>
    <b className="num">{code}</b> {title}
  </PlaceLink>
)

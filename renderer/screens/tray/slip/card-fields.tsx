import { labFigures } from '../../../parts/lab-figures.ts'
import { NumberField } from '../../../parts/number-field.tsx'
import { useStore } from '../../../state/store.ts'
import { changeMarks, useDesk } from '../desk-state.ts'

/** The card's own colour: that of the settings unless another card lies in this photo. */
export function CardFields() {
  const marks = useDesk((s) => s.marks)
  const settings = useStore((s) => s.settings)
  if (!marks.card) return null
  const card = marks.card
  const change = (to: Partial<typeof card.lab>) =>
    changeMarks({ ...marks, card: { ...card, lab: { ...card.lab, ...to } } }, 'card lab')
  const set = (name: 'l' | 'a' | 'b') => (value: number | null) => {
    if (value !== null && value !== card.lab[name]) change({ [name]: value })
  }
  return (
    <details className="tray-card">
      <summary>
        Card: Lab <span className="num">{labFigures(card.lab, settings)}</span>
      </summary>
      <div className="tray-lab">
        <NumberField label="L*" value={card.lab.l} min={1} max={100} digits={2} onValue={set('l')} />
        <NumberField label="a*" value={card.lab.a} min={-60} max={60} digits={2} onValue={set('a')} />
        <NumberField label="b*" value={card.lab.b} min={-60} max={60} digits={2} onValue={set('b')} />
      </div>
      <p className="fine">D50, 2°, for this photo only. The card on your wall is described in Settings.</p>
    </details>
  )
}

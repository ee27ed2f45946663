import { type FormEvent, useState } from 'react'
import { isToBuy, type ReadStock, readStock, sayStock, stockBasis } from '../../../../shared-core/mix/stock.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { client } from '../../../client/client.ts'
import { FieldError, type Said } from '../../../parts/field-error.tsx'
import { Triangle } from '../../../parts/icons.tsx'
import { act } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { TextField } from '../../jobs/text-field.tsx'
import { useWording, type Wording } from '../../mix/say-amounts.ts'
import { markInWords, onHandInWords } from '../stock-words.ts'
import { afterwards, type How } from './afterwards.ts'

const hows: readonly (readonly [How, string, string])[] = [
  ['counted', 'Counted', 'There is now'],
  ['bought', 'Bought', 'How much was bought'],
  ['thrown-away', 'Thrown away', 'How much was thrown away'],
]

/** How much there is, and saying that it is otherwise. */
export function OnHand({ material }: { material: Material }) {
  const wording = useWording()
  const { system } = wording
  const [how, setHow] = useState<How>('counted')
  const [text, setText] = useState('')
  const [batch, setBatch] = useState('')
  const [wrong, setWrong] = useState<Said | null>(null)
  const basis = stockBasis(material)
  const read = text.trim() === '' ? null : readStock(text, basis, system)
  const label = hows.find(([each]) => each === how)?.[2] ?? ''
  async function submit(event: FormEvent) {
    event.preventDefault()
    if (read === null) return setWrong({ message: 'No amount yet.', remedy: 'Write it like 350 mL or 2.1 lb.' })
    if (!read.ok) return setWrong(read)
    if (how !== 'counted' && read.amount === 0)
      return setWrong({ message: 'Nothing changes with 0.', remedy: 'Write how much it was.' })
    const onHand = { amount: read.amount, basis: read.basis }
    const answer = await client().call('shelf.count', { materialId: material.id, onHand, how, batch: batch.trim() })
    if (!answer.ok)
      return answer.error.code === 'mix/no-density' ? setWrong(answer.error) : useStore.getState().warn(answer.error)
    setText('')
    setBatch('')
    setHow('counted')
  }
  const change = (set: () => void) => {
    setWrong(null)
    set()
  }
  return (
    <section className="block material-stock" aria-label="On hand">
      <div className="material-now">
        <p>
          <span className={material.onHand === null ? 'say' : 'num material-amount'}>
            {onHandInWords(material, wording)}
          </span>
          {material.onHand === null ? ' What is poured at the bench comes off once it is counted.' : ' on hand'}
        </p>
        {material.onHand === null ? null : (
          <button
            type="button"
            className="btn plain push"
            onClick={() =>
              void act('shelf.count', { materialId: material.id, onHand: null, how: 'counted', batch: '' })
            }
          >
            Forget the count
          </button>
        )}
        {isToBuy(material) ? (
          <p className="material-buy">
            <Triangle /> <b>Buy again</b> {markInWords(material, wording)}
          </p>
        ) : null}
      </div>
      <form className="material-count" noValidate onSubmit={(event) => void submit(event)}>
        <div className="pair" role="group" aria-label="What happened">
          {hows.map(([each, name]) => (
            <button
              key={each}
              type="button"
              aria-pressed={how === each}
              onClick={() => {
                change(() => setHow(each))
                document.getElementById('shelf-amount')?.focus()
              }}
            >
              {name}
            </button>
          ))}
        </div>
        <div className="field">
          <span>
            <label htmlFor="shelf-amount">{label}</label>
          </span>
          <input
            id="shelf-amount"
            className="input"
            value={text}
            autoComplete="off"
            maxLength={60}
            placeholder={
              basis === 'mass' ? (system === 'us' ? '1.5 oz' : '40 g') : system === 'us' ? '12 fl oz' : '350 mL'
            }
            aria-invalid={wrong !== null}
            aria-describedby="shelf-amount-says"
            onChange={(event) => change(() => setText(event.target.value))}
          />
        </div>
        {how === 'thrown-away' ? null : (
          <TextField label="Batch, if it is another" value={batch} onValue={setBatch} maxLength={120} />
        )}
        <button type="submit" className="btn main">
          {verb(how, read, wording)}
        </button>
        <p id="shelf-amount-says" className="fine" aria-live="polite">
          {afterwards(material, how, read, wording)}
        </p>
        <FieldError id="shelf-amount-wrong" said={wrong} />
      </form>
    </section>
  )
}

function verb(how: How, read: ReadStock | null, { system, decimal }: Wording): string {
  const amount = read?.ok ? ` ${sayStock(read.amount, read.basis, system, decimal)}` : ''
  if (how === 'bought') return `Add${amount}`
  if (how === 'thrown-away') return `Take${amount} off`
  return amount === '' ? 'Keep the count' : `Count${amount}`
}

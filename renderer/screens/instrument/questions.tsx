import type { InstrumentAnswers, InstrumentQuestion } from '../../../shared-core/contract/exchange-calls.ts'
import { Triangle } from '../../parts/icons.tsx'
import { illuminantInWords, instrumentGeometries, observerInWords } from '../../parts/standards-in-words.ts'
import { viewInWords } from '../../parts/views-in-words.ts'

type Ask = keyof InstrumentAnswers

/** In the order in which they are settled: a spectrum needs neither light nor observer. */
const order: readonly Ask[] = ['geometry', 'view', 'scale', 'illuminant', 'observer']

const words: Record<Ask, { question: string; where: string; choices: Record<string, string> }> = {
  geometry: {
    question: 'How does the instrument look at the paint?',
    where: 'It stands in its manual, often on the instrument.',
    choices: instrumentGeometries,
  },
  view: {
    question: 'Which view are these numbers of?',
    where: 'The angle from the glare.',
    choices: viewInWords,
  },
  scale: {
    question: 'What does a white reflect in this file?',
    where: 'All its figures are small: both would fit.',
    choices: { fraction: '1 (factors)', percent: '100 (per cent)' },
  },
  illuminant: {
    question: 'Which light are these numbers for?',
    where: 'The illuminant set in the instrument’s program.',
    choices: illuminantInWords,
  },
  observer: {
    question: 'For which observer?',
    where: 'Set beside the illuminant, often as D65/10°.',
    choices: observerInWords,
  },
}

type Props = {
  questions: readonly InstrumentQuestion[]
  answers: InstrumentAnswers
  saidAs: readonly string[]
  onAnswer: (change: Partial<InstrumentAnswers>) => void
}

/** What the file does not say, each as one question; an answer can be changed until the readings are taken. */
export function Questions({ questions, answers, saidAs, onAnswer }: Props) {
  if (questions.length === 0) return null
  const open = questions.filter((question) => !question.answered).length
  const asked = order.filter((ask) => questions.some((question) => question.ask === ask))
  return (
    <section className="block instrument-questions" aria-label="What the file does not say">
      <div className={open > 0 ? 'warn' : ''}>
        {open > 0 ? <Triangle /> : null}
        <p>
          <b>{open > 0 ? 'The file does not say everything.' : 'The file does not say this; you did.'}</b>
          {open > 0 ? ' It is not guessed: look it up, or leave those samples out.' : ''}
          {saidAs.length > 0 ? ` It says “${saidAs.slice(0, 3).join('”, “')}”: that leaves it open.` : ''}
        </p>
      </div>
      <div className="instrument-asked">
        {asked.map((ask) => (
          <label key={ask} className="field">
            <b>{words[ask].question}</b>
            <select
              className="select"
              value={answers[ask] ?? ''}
              aria-invalid={answers[ask] === null}
              onChange={(event) => onAnswer({ [ask]: event.target.value === '' ? null : event.target.value })}
            >
              <option value="">not known yet</option>
              {Object.entries(words[ask].choices).map(([key, name]) => (
                <option key={key} value={key}>
                  {name}
                </option>
              ))}
            </select>
            <span>{words[ask].where}</span>
          </label>
        ))}
      </div>
    </section>
  )
}

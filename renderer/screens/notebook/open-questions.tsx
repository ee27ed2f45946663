import type { NotebookQuestion } from '../../../shared-core/contract/panels-csv-calls.ts'
import type { NotebookAnswers } from '../../../shared-core/records/notebook.ts'
import { Triangle } from '../../parts/icons.tsx'
import { NumberField } from '../../parts/number-field.tsx'
import { asksInOrder, countOf, questionsInWords } from './notebook-words.ts'

type Props = {
  questions: readonly NotebookQuestion[]
  answers: NotebookAnswers
  bound90: number | null
  onAnswer: (change: Partial<NotebookAnswers>) => void
  onBound: (bound90: number | null) => void
}

/** What the table leaves open, each as one question; an answer can be changed until the panels are taken in. */
export function OpenQuestions({ questions, answers, bound90, onAnswer, onBound }: Props) {
  if (questions.length === 0) return null
  const open = questions.filter((question) => question.required && !question.answered).length
  const asked = asksInOrder.flatMap((ask) => questions.find((question) => question.ask === ask) ?? [])
  const hasColours = questions.some(({ ask }) => ask === 'illuminant')
  return (
    <section className="block notebook-questions" aria-label="What the table leaves open">
      <div className={open > 0 ? 'warn' : ''}>
        {open > 0 ? <Triangle /> : null}
        <p>
          <b>{open > 0 ? 'The table can be read more than one way.' : 'The table leaves this open; you said it.'}</b>
          {open > 0 ? ' It is not guessed: say what you meant.' : ''}
        </p>
      </div>
      <div className="notebook-asked">
        {asked.map((question) => (
          <Question key={question.ask} question={question} answers={answers} onAnswer={onAnswer} />
        ))}
        {hasColours ? (
          <div className="notebook-figure">
            <NumberField
              label="± in dE00, if their source states one"
              value={bound90}
              onValue={onBound}
              min={0.01}
              max={50}
              digits={2}
            />
          </div>
        ) : null}
      </div>
    </section>
  )
}

function Question({
  question,
  answers,
  onAnswer,
}: { question: NotebookQuestion } & Pick<Props, 'answers' | 'onAnswer'>) {
  const { ask, count, example, required } = question
  if (ask === 'coats')
    return (
      <div className="notebook-figure">
        <NumberField
          label={`Coats of candy where none are written (${countOf(count, 'row')})`}
          value={answers.coats}
          onValue={(coats) => onAnswer({ coats })}
          min={0}
          max={60}
          digits={1}
        />
      </div>
    )
  if (ask === 'separator' || ask === 'headings') return null
  const words = questionsInWords[ask]
  const value = answers[ask]
  return (
    <label className="field">
      <b>{words.question(example)}</b>
      <select
        className="select"
        value={value ?? ''}
        aria-invalid={required && value === null}
        onChange={(event) => onAnswer({ [ask]: event.target.value === '' ? null : event.target.value })}
      >
        <option value="">not said yet</option>
        {Object.entries(words.choices).map(([key, name]) => (
          <option key={key} value={key}>
            {name}
          </option>
        ))}
      </select>
      <span>{`${words.where} ${countOf(count, 'row')}.`}</span>
    </label>
  )
}

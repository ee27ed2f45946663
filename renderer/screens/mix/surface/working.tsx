import { needInWords, workingLines } from '../../../../shared-core/mix/surface/working.ts'
import type { WorkedOut } from '../amount/work-out.ts'
import type { Wording } from '../say-amounts.ts'

/** The sum line by line, for who checks it with a pocket calculator. */
export function Working({ spray, words }: { spray: NonNullable<WorkedOut['spray']>; words: Wording }) {
  const { job, need } = spray
  const range = needInWords(need, words.system, words.decimal)
  return (
    <section className="block" aria-label="Worked out">
      <h2>Worked out</h2>
      <dl className="mix-working">
        {workingLines(job, need, words.system, words.decimal).map(({ what, sum }, at) => (
          <div key={`${at} ${what}`}>
            <dt>{what}</dt>
            <dd className="num">{sum}</dd>
          </div>
        ))}
      </dl>
      {range ? <p className="fine">{range}</p> : null}
    </section>
  )
}

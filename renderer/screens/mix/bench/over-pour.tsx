import type { RestOfCup } from '../../../../shared-core/mix/cup/over-pour.ts'
import { overPourInWords } from '../../../../shared-core/mix/cup/over-pour-words.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import { useAnswer } from '../../../state/asking.ts'
import { ColourEffect } from '../amount/colour-effect.tsx'
import type { Wording } from '../say-amounts.ts'
import type { Bench } from './reckon/bench-steps.ts'

/** What an over-pour means: what grows, whether it fits, and what leaving it would do to shares and colour. */
export function OverPour({ rest, bench, words, cup }: { rest: RestOfCup; bench: Bench; words: Wording; cup: Cup }) {
  const job = useAnswer('customerJobs.get', cup.customerJobId === null ? null : { key: cup.customerJobId }).value
  const panel = useAnswer('panels.get', cup.panelId === null ? null : { key: cup.panelId }).value
  // a job says over what and how many coats; the panel it came from may have been sprayed otherwise
  const isWaiting = cup.customerJobId !== null && !job
  const formula = job?.job.formula
  const over = isWaiting ? null : (formula ?? { ground: panel?.summary.ground ?? '', coats: panel?.summary.coatsTo })
  const [first, ...others] = overPourInWords(rest, bench.measuring, words.decimal)
  return (
    <>
      <p>
        <b>{first}</b> {others.join(' ')}
      </p>
      <ColourEffect
        mixture={cup.mixture}
        poured={rest.keepGoing?.mixture ?? null}
        ground={over?.ground ?? ''}
        coats={over?.coats ?? null}
        what="Leaving it"
      />
    </>
  )
}

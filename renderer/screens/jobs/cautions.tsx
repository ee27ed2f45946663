import { cautionsFor, type WorkStep } from '../../../shared-core/mix/safety/cautions.ts'
import { materialsIn } from '../../../shared-core/mix/safety/materials-in.ts'
import { cautionKinds } from '../../../shared-core/mix/shelf-facts.ts'
import type { Mixture } from '../../../shared-core/records/mixture.ts'
import { Caution } from '../../parts/caution.tsx'
import { useAnswer } from '../../state/asking.ts'

type Props = { mixture: Mixture | null; steps: readonly WorkStep[] }

/** How many stand open: the gravest. The others are one press away. */
const open = 2

/** Cautions beside a step of the work, by what is in the mixture; the gravest first, each once. */
export function Cautions({ mixture, steps }: Props) {
  const materials = useAnswer('materials.list', {}).value?.materials ?? []
  if (!mixture) return null
  const inIt = cautionKinds(materialsIn(mixture), materials)
  const all = steps.flatMap((step) => cautionsFor(inIt, step))
  const once = all.filter((each, i) => all.findIndex(({ code }) => code === each.code) === i)
  if (once.length === 0) return null
  const [first, rest] = [once.slice(0, open), once.slice(open)]
  return (
    <aside className="job-cautions" aria-label="Cautions">
      {first.map(({ code, message, remedy }) => (
        <Caution key={code} message={message} remedy={remedy} />
      ))}
      {rest.length > 0 ? (
        <details>
          <summary>{`${rest.length} more ${rest.length === 1 ? 'caution' : 'cautions'} for this step`}</summary>
          {rest.map(({ code, message, remedy }) => (
            <Caution key={code} message={message} remedy={remedy} />
          ))}
        </details>
      ) : null}
    </aside>
  )
}

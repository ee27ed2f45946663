import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { type Ingredient, sharesOf } from '../../../../shared-core/mix/quantities.ts'
import type { MaterialKind, Mixture } from '../../../../shared-core/records/mixture.ts'
import { sayNumber } from '../../../parts/say-numbers.ts'
import { useStore } from '../../../state/store.ts'

/** What carries colour is drawn filled, what carries it along is drawn empty. */
const filled: ReadonlySet<MaterialKind> = new Set(['concentrate', 'base', 'pearl', 'flake', 'sealer', 'other'])
/** More whole parts than this are no longer read as parts: percentages then. */
const mostParts = 200

/** The parts of the cup drawn to scale: full, half height and lower for its colours, empty for the carrier. */
export function PartsBar({ mixture }: { mixture: Mixture }) {
  const settings = useStore((s) => s.settings)
  const shares = sharesOfParts(mixture)
  if (!shares || shares.length < 2) return null
  const total = wholeParts(shares)
  const amounts = shares.map(({ share }) =>
    total === null ? `${sayNumber((share ?? 0) * 100, 0, settings)} %` : `${Math.round((share ?? 0) * total)}`,
  )
  const words = shares.map(({ material }, i) => `${amounts[i]} ${material.name}`).join(', ')
  return (
    <div className="panel-parts">
      <div className="panel-parts-bar" role="img" aria-label={total === null ? words : `Of ${total} parts, ${words}`}>
        {shares.map(({ material, share }, i) => {
          const place = shares.slice(0, i + 1).filter((one) => filled.has(one.material.kind)).length
          const height = filled.has(material.kind) ? 100 / place : 0
          return (
            <i key={i} style={{ flexGrow: share ?? 0 }}>
              {height > 0 ? <span style={{ height: `${height}%` }} /> : null}
            </i>
          )
        })}
      </div>
      <p className="fine num" aria-hidden="true">
        {words}
        {total === null ? '' : `, of ${total} parts`}
      </p>
    </div>
  )
}

/** Shares of what is measured in parts; what comes on top is said in words only. Null where a density is missing. */
function sharesOfParts(mixture: Mixture): Ingredient[] | null {
  const parts = mixture.parts.filter((part) => part.unit === 'parts')
  if (parts.length === 0) return null
  try {
    return sharesOf({ ...mixture, parts }).filter((one) => one.share !== null && one.share > 0)
  } catch (error) {
    if (error instanceof Refusal) return null
    throw error
  }
}

/** The fewest parts in which every share is whole (4 : 1 in 6 : 1 is 35), or null when there are too many. */
function wholeParts(shares: readonly Ingredient[]): number | null {
  let parts = 1n
  for (const { exact } of shares) {
    const denominator = exact.share?.denominator ?? 1n
    parts = (parts / greatestDivisor(parts, denominator)) * denominator
  }
  return parts <= BigInt(mostParts) ? Number(parts) : null
}

function greatestDivisor(a: bigint, b: bigint): bigint {
  return b === 0n ? a : greatestDivisor(b, a % b)
}

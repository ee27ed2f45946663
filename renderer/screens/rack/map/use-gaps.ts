import { useEffect } from 'react'
import { NearestIndex } from '../../../../shared-core/match/nearest/nearest-index.ts'
import { type MapGap, seekGaps } from './geometry/gaps.ts'
import type { MapSteps, Slice } from './geometry/steps.ts'
import { type MapState, useMap } from './map-state.ts'

/** So long the search goes on before the page may draw. */
const atOnceMs = 6
/** A slider that is still moving asks for nothing. */
const restMs = 150

const indexes = new WeakMap<MapSteps, NearestIndex>()

function indexOf(steps: MapSteps): NearestIndex {
  let index = indexes.get(steps)
  if (!index) {
    const entries = Array.from({ length: steps.count }, (_, id) => ({
      id,
      lab: { l: steps.l[id]!, a: steps.a[id]!, b: steps.b[id]! },
    }))
    index = new NearestIndex(entries)
    indexes.set(steps, index)
  }
  return index
}

/** A gap that was asked for is there, also where the slice by itself would have named a wider one beside it. */
function withWanted(gaps: readonly MapGap[], wanted: MapGap | null): Pick<MapState, 'gaps' | 'gapAt' | 'gapWanted'> {
  if (!wanted) return { gaps, gapAt: null, gapWanted: null }
  const at = gaps.findIndex(({ l, a, b }) => l === wanted.l && a === wanted.a && b === wanted.b)
  return at < 0 ? { gaps: [wanted, ...gaps], gapAt: 0, gapWanted: null } : { gaps, gapAt: at, gapWanted: null }
}

/** Looks for the gaps of a slice, a little at a time, and leaves them where everybody finds them. */
export function useGaps(steps: MapSteps | null, slice: Slice): void {
  useEffect(() => {
    if (!steps) return
    let search: ReturnType<typeof seekGaps> | undefined
    const goOn = () => {
      search ??= seekGaps(steps, indexOf(steps), slice)
      const until = performance.now() + atOnceMs
      do {
        const { done, value } = search.next()
        if (done) {
          useMap.setState(withWanted(value, useMap.getState().gapWanted))
          return
        }
      } while (performance.now() < until)
      waiting = setTimeout(goOn, 0)
    }
    useMap.setState({ gaps: null, gapAt: null })
    let waiting = setTimeout(goOn, restMs)
    return () => clearTimeout(waiting)
  }, [steps, slice])
}

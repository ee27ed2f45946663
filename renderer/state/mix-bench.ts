import { create } from 'zustand'

/**
 * What is known of a cup at this computer alone, and is no part of its record: that it was strained leaves no reading, so
 * another computer asks for it again; and how its scale is read belongs to the bench that it stands on.
 */
type AtCup = {
  /** Steps without a reading that are done ("strain"). */
  done: string[]
  /** Scale or cup is set to zero before each ingredient. */
  zeroed: boolean
}
export const freshCup: AtCup = { done: [], zeroed: false }

type Bench = {
  cups: Record<string, AtCup>
  /** Clocks whose end was told: cup and kind. */
  told: string[]
  /** A step looked at out of its turn. */
  at: { cupId: string; stepId: string } | null
  /** What scale or cup says, as it is typed. */
  typed: string
  /** Batches typed for lines that are not poured yet. */
  batches: Record<string, string>
  /** A pour is being written down. */
  busy: boolean
  /** What could not be taken off the shelf, by cup. */
  short: Record<string, string[]>
}

const key = 'overground-mix-bench'
const storage = typeof localStorage === 'undefined' ? undefined : localStorage

function readKept(): Pick<Bench, 'cups' | 'told'> {
  try {
    const kept = JSON.parse(storage?.getItem(key) ?? '{}') as Partial<Bench>
    return { cups: kept.cups ?? {}, told: kept.told ?? [] }
  } catch {
    return { cups: {}, told: [] }
  }
}

/** Cups and told clocks that are remembered; older ones are long thrown away. */
const most = 200

export const freshBench: Bench = { cups: {}, told: [], at: null, typed: '', batches: {}, busy: false, short: {} }
export const useBench = create<Bench>(() => ({ ...freshBench, ...readKept() }))

useBench.subscribe(({ cups, told }) => {
  const kept = { cups: Object.fromEntries(Object.entries(cups).slice(-most)), told: told.slice(-most) }
  storage?.setItem(key, JSON.stringify(kept))
})

export const atCup = ({ cups }: Pick<Bench, 'cups'>, cupId: string): AtCup => cups[cupId] ?? freshCup

export const changeAtCup = (cupId: string, change: Partial<AtCup>): void =>
  useBench.setState((s) => ({ cups: { ...s.cups, [cupId]: { ...atCup(s, cupId), ...change } } }))

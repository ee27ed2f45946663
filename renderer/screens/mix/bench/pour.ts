import { add, fromNumber, toNumber, zero } from '../../../../shared-core/mix/rational.ts'
import { onShelf } from '../../../../shared-core/mix/shelf-facts.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { act } from '../../../state/asking.ts'
import { atCup, changeAtCup, useBench } from '../../../state/mix-bench.ts'
import { useStore } from '../../../state/store.ts'
import { type Bench, type BenchStep, benchOf, type PourStep } from './reckon/bench-steps.ts'
import { readTyped } from './reckon/typed-reading.ts'

/** The batch that is written down with a line: as typed, as written before, else as the shelf has it. */
export const batchOf = ({ line }: PourStep, typed: Record<string, string>, materials: readonly Material[]): string =>
  typed[line.id] ??
  (line.batch !== ''
    ? line.batch
    : (onShelf(materials, { id: line.materialId, name: line.name, kind: line.kind })?.batch ?? ''))

/** The step that is looked at: one that was gone back to, else the first that is not done. */
export function stepShown(bench: Bench, cupId: string): BenchStep {
  const { at } = useBench.getState()
  return (at?.cupId === cupId ? bench.steps.find(({ id }) => id === at.stepId) : undefined) ?? bench.next
}

/** The answer stands at once, not only when the rack has told of the change. */
function keepCup(cup: Cup): void {
  const { answers, keepAnswer, rack } = useStore.getState()
  for (const key of [cup.id, cup.code]) {
    const name = `cups.get ${JSON.stringify({ key })}`
    if (answers[name]) keepAnswer(name, { value: { cup }, error: null, revision: rack?.revision ?? 0 })
  }
}

/** What is to be done now has the focus again, and the space bar is the bench's. */
export const toHeading = (): void =>
  document.querySelector<HTMLElement>('.bench-heading')?.focus({ preventScroll: true })

async function write(
  cup: Cup,
  step: PourStep,
  poured: number | null,
  materials: readonly Material[],
  accepted = false,
): Promise<boolean> {
  if (useBench.getState().busy) return false
  useBench.setState({ busy: true })
  const batch = batchOf(step, useBench.getState().batches, materials)
  const done = await act('cups.pour', { cupId: cup.id, lineId: step.id, poured, accepted, batch })
  useBench.setState({ busy: false })
  if (!done) return false
  keepCup(done.cup)
  useBench.setState({ typed: '', at: null })
  toHeading()
  return true
}

/**
 * Done with the step that is shown: what was typed is written down, or what was asked for, and the next one comes.
 * @param leave  what was poured wrong stays so, and the rest goes by it
 */
export async function pourNow(cup: Cup, materials: readonly Material[], leave = false): Promise<void> {
  const kept = atCup(useBench.getState(), cup.id)
  const bench = benchOf(cup, materials, kept)
  const step = stepShown(bench, cup.id)
  if (step.kind === 'record') return
  if (step.kind === 'strain') {
    changeAtCup(cup.id, { done: [...kept.done.filter((id) => id !== 'strain'), 'strain'] })
    return useBench.setState({ at: null })
  }
  const read = readTyped(useBench.getState().typed, bench, step, kept.zeroed, cup, materials)
  if (read.kind === 'wrong') return
  if (read.kind === 'none' && step.done) {
    const { batches } = useBench.getState()
    const isNamed = step.line.poured !== null && batchOf(step, batches, materials) !== step.line.batch
    if (isNamed) await write(cup, step, step.line.poured, materials, step.line.accepted)
    return useBench.setState({ at: null, typed: '' })
  }
  const exact =
    read.kind === 'read'
      ? read.poured
      : add(step.line.poured === null ? zero : fromNumber(step.line.poured), step.rest.toPour)
  await write(cup, step, toNumber(exact), materials, leave)
}

/** The step before the one that is shown; nothing is taken back yet. */
export function backOne(cup: Cup, materials: readonly Material[]): void {
  const bench = benchOf(cup, materials, atCup(useBench.getState(), cup.id))
  const shown = stepShown(bench, cup.id)
  const before = bench.steps[bench.steps.indexOf(shown) - 1]
  if (before) useBench.setState({ at: { cupId: cup.id, stepId: before.id }, typed: '' })
  toHeading()
}

/** Nothing of it was poured after all. */
export async function takeBack(cup: Cup, step: PourStep, materials: readonly Material[]): Promise<void> {
  await write(cup, step, null, materials)
}

/** Leaves a line as it was poured, too little or too much. */
export async function leaveIt(cup: Cup, step: PourStep, materials: readonly Material[]): Promise<void> {
  await write(cup, step, step.line.poured, materials, true)
}

import type { DifferenceWeights } from '../../colour/difference.ts'
import type { Lab } from '../../colour/lab.ts'
import type { View } from '../../records/colour.ts'
import { type Circumstances, isLike, toD50, unlikenessBetween } from '../compare.ts'
import { type Candidate, coloursOfStep } from '../rank.ts'
import { NearestIndex } from './nearest-index.ts'

/** A step as the board knows it; `panel` is the number that the board gave its panel. */
export type BoardStep = {
  readonly stepId: string
  readonly panelId: string
  readonly panel: number
  readonly panelCode: string
  readonly panelCreatedAt: string
  /** Its colours: rows of the board. */
  readonly rows: readonly number[]
}

export type BoardQuestion = {
  readonly count: number
  readonly weights?: DifferenceWeights | undefined
  /** No step farther away than this. */
  readonly within?: number | undefined
  /** Only steps that were read as the reference was. */
  readonly likeOnly?: boolean | undefined
  /** Only colours of this view. */
  readonly view?: View | null | undefined
  /** Lets a step through. */
  readonly accepts: (step: BoardStep) => boolean
}

/** A step and how far from the reference it lies at least. */
export type NearStep = { readonly step: BoardStep; readonly atLeast: number }

type Row = { readonly step: number; readonly kind: number; readonly lab: Lab; readonly labD50: Lab }
type Kind = Circumstances & { readonly standard: string }

const standardOf = ({ illuminant, observer }: Circumstances): string => `${illuminant} ${observer}`

/**
 * The colours of all steps, so that the nearest are found without going through all of them. Which of its colours stands for a
 * step depends on the reference; what the board gives is the least that any of those in question is away. Steps come and go
 * one by one.
 */
export class StepBoard {
  private readonly steps = new Map<string, number>()
  private readonly known: (BoardStep | undefined)[] = []
  private readonly rows: (Row | undefined)[] = []
  private readonly free: { steps: number[]; rows: number[] } = { steps: [], rows: [] }
  private readonly panels = new Map<string, number>()
  private readonly kinds: Kind[] = []
  private readonly kindNumbers = new Map<string, number>()
  /** By standard: colours as they were given, and brought to D50. */
  private readonly asGiven = new Map<string, NearestIndex>()
  private readonly broughtOver = new Map<string, NearestIndex>()

  /** Rows that `fill` noted and that are not yet in an index, by standard. */
  private readonly unsettled = new Map<string, number[]>()

  /** @param candidates  the readings of all steps; those of one step lie side by side. */
  constructor(candidates: readonly BoardCandidate[] = []) {
    this.fill(candidates)
    this.settle()
  }

  /** Takes in more steps that it does not have yet; they are found once `settle` has been called. */
  fill(candidates: readonly BoardCandidate[]): void {
    for (const readings of bySteps(candidates))
      for (const row of this.note(readings)) {
        const { standard } = this.kindOf(row)
        const list = this.unsettled.get(standard)
        if (list) list.push(row)
        else this.unsettled.set(standard, [row])
      }
  }

  /** Makes the indexes of what was filled in. Called once, before anything is asked or put. */
  settle(): void {
    for (const [standard, rows] of this.unsettled) {
      this.asGiven.set(standard, new NearestIndex(rows.map((id) => ({ id, lab: this.rows[id]!.lab }))))
      if (!isAtD50(standard))
        this.broughtOver.set(standard, new NearestIndex(rows.map((id) => ({ id, lab: this.rows[id]!.labD50 }))))
    }
    this.unsettled.clear()
  }

  /** How many steps have a colour. */
  get size(): number {
    return this.steps.size
  }

  /** Panels are numbered from 0 to below this. */
  get panelCount(): number {
    return this.panels.size
  }

  step(stepId: string): BoardStep | null {
    const at = this.steps.get(stepId)
    return at === undefined ? null : this.known[at]!
  }

  /** Every step. */
  *all(): IterableIterator<BoardStep> {
    for (const at of this.steps.values()) yield this.known[at]!
  }

  /** Whether a step has a colour of this view. */
  hasView(step: BoardStep, view: View): boolean {
    return step.rows.some((row) => this.kindOf(row).view === view)
  }

  /** Takes a step's readings as they now are; none: the step goes. */
  put(stepId: string, candidates: readonly BoardCandidate[]): void {
    this.drop(stepId)
    if (candidates.length === 0) return
    for (const id of this.note(candidates)) {
      const { lab, labD50 } = this.rows[id]!
      const { standard } = this.kindOf(id)
      indexOf(this.asGiven, standard).insert({ id, lab })
      if (!isAtD50(standard)) indexOf(this.broughtOver, standard).insert({ id, lab: labD50 })
    }
  }

  /**
   * The steps nearest to a reference by the least that they are away, nearest first, equals by the older panel. Fewer than
   * asked for are all there are.
   */
  nearest(reference: Circumstances & { lab: Lab }, question: BoardQuestion): NearStep[] {
    const { count, weights, within, view = null, likeOnly = false, accepts } = question
    const unlikeness = this.kinds.map((kind) => unlikenessBetween(reference, kind))
    const isInView = (row: number) => view === null || this.kindOf(row).view === view
    const of = (row: number) => unlikeness[this.rows[row]!.kind]!
    const isStanding = (row: number): boolean => {
      if (!isInView(row)) return false
      const step = this.stepOf(row)
      if (likeOnly && !isLike(of(row))) return false
      for (const other of step.rows) if (other !== row && of(other) < of(row) && isInView(other)) return false
      return accepts(step)
    }
    const ask = (index: NearestIndex, lab: Lab, farthest: number | undefined) =>
      index.nearest(lab, {
        count,
        weights,
        within: farthest,
        accepts: isStanding,
        groupOf: (row) => this.rows[row]!.step,
        isOlder: (one, other) => comesBefore(this.stepOf(one), this.stepOf(other)),
      })
    const own = standardOf(reference)
    const found = new Map<BoardStep, number>()
    let farthest = within
    for (const [standard, given] of [...this.asGiven].toSorted(([a], [b]) => Number(b === own) - Number(a === own))) {
      const [index, lab] =
        standard === own ? [given, reference.lab] : [this.broughtOver.get(standard) ?? given, toD50(reference)]
      const near = ask(index, lab, farthest)
      for (const { id, de00 } of near) {
        const step = this.stepOf(id)
        found.set(step, Math.min(found.get(step) ?? Number.POSITIVE_INFINITY, de00))
      }
      if (near.length === count) farthest = Math.min(farthest ?? Number.POSITIVE_INFINITY, near.at(-1)!.de00)
    }
    return [...found]
      .map(([step, atLeast]) => ({ step, atLeast }))
      .toSorted((a, b) => a.atLeast - b.atLeast || (comesBefore(a.step, b.step) ? -1 : 1))
      .slice(0, count)
  }

  private drop(stepId: string): void {
    const at = this.steps.get(stepId)
    if (at === undefined) return
    for (const id of this.known[at]!.rows) {
      const { lab, labD50 } = this.rows[id]!
      const { standard } = this.kindOf(id)
      this.asGiven.get(standard)?.remove(id, lab)
      this.broughtOver.get(standard)?.remove(id, labD50)
      this.rows[id] = undefined
      this.free.rows.push(id)
    }
    this.known[at] = undefined
    this.free.steps.push(at)
    this.steps.delete(stepId)
  }

  /** Notes a step and its colours. @returns the rows of its colours, not yet in an index */
  private note(candidates: readonly BoardCandidate[]): readonly number[] {
    const { stepId, panelId, panelCode, panelCreatedAt } = candidates[0]!
    const step = this.free.steps.pop() ?? this.known.length
    const rows = coloursOfStep(candidates).map(({ seen }) => {
      const row = this.free.rows.pop() ?? this.rows.length
      this.rows[row] = { step, kind: this.kindNumber(seen), lab: seen.lab, labD50: toD50(seen) }
      return row
    })
    this.known[step] = { stepId, panelId, panel: this.panelNumber(panelId), panelCode, panelCreatedAt, rows }
    this.steps.set(stepId, step)
    return rows
  }

  private panelNumber(panelId: string): number {
    const number = this.panels.get(panelId) ?? this.panels.size
    this.panels.set(panelId, number)
    return number
  }

  private kindNumber({ illuminant, observer, geometry, view, stage, lightId }: Circumstances): number {
    const key = `${illuminant} ${observer} ${geometry} ${view} ${stage} ${lightId ?? ''}`
    const known = this.kindNumbers.get(key)
    if (known !== undefined) return known
    const kind = { illuminant, observer, geometry, view, stage, lightId }
    const standard = standardOf(kind)
    this.kinds.push({ ...kind, standard })
    this.kindNumbers.set(key, this.kinds.length - 1)
    return this.kinds.length - 1
  }

  private kindOf(row: number): Kind {
    return this.kinds[this.rows[row]!.kind]!
  }

  private stepOf(row: number): BoardStep {
    return this.known[this.rows[row]!.step]!
  }
}

/** A reading of a step, and which panel the step belongs to. */
export type BoardCandidate = Candidate & { readonly panelId: string }

/** Colours that `toD50` leaves as they are. */
const isAtD50 = (standard: string): boolean => standard.startsWith('D50 ') || standard.endsWith(' 10')

type Placed = Pick<BoardStep, 'stepId' | 'panelCode' | 'panelCreatedAt'>

/** Equals by the older panel, as `rankMatches` puts them. */
export function comesBefore(one: Placed, other: Placed): boolean {
  if (one.panelCreatedAt !== other.panelCreatedAt) return one.panelCreatedAt < other.panelCreatedAt
  if (one.panelCode !== other.panelCode) return one.panelCode < other.panelCode
  return one.stepId < other.stepId
}

function indexOf(indexes: Map<string, NearestIndex>, standard: string): NearestIndex {
  const index = indexes.get(standard) ?? new NearestIndex([])
  indexes.set(standard, index)
  return index
}

function* bySteps(candidates: readonly BoardCandidate[]): IterableIterator<BoardCandidate[]> {
  for (let from = 0; from < candidates.length; ) {
    const { stepId } = candidates[from]!
    let to = from + 1
    while (to < candidates.length && candidates[to]!.stepId === stepId) to++
    yield candidates.slice(from, to)
    from = to
  }
}

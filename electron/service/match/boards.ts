import { StepBoard } from '../../../shared-core/match/nearest/step-board.ts'
import type { View } from '../../../shared-core/records/colour.ts'
import type { Layer, PanelFilter, PanelSummary } from '../../../shared-core/records/panel.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { filteredPanels, letsAllThrough } from '../../rack/queries/panel-filter.ts'
import { readSummaries } from '../../rack/queries/panel-list.ts'
import { readLayers } from '../../rack/queries/panel-read.ts'
import { readCandidates } from '../../rack/queries/readings.ts'
import { noteTouchedSteps, takeTouchedSteps } from '../../rack/queries/touched-steps.ts'

/** Steps read at one go: a few ten milliseconds, after which other calls have their turn. */
const atOnce = 400
/** Boards of single lights kept beside the one of all; which lights one looks in changes seldom. */
const lightsKept = 2
const filtersKept = 8
/** The wall is looked at first. */
const restMs = 3000
const cardsKept = 5000

/** Which panels a filter lets through, by the board's numbers, and how many steps. */
export type Allowed = { readonly panels: Uint8Array; readonly counts: Map<View | null, number> }
export type Board = {
  readonly steps: StepBoard
  /** Steps that have changed since they were read. */
  readonly touched: Set<string>
  readonly lightId: string | null
  /** Worked out for one state of the rack, and forgotten with it. */
  readonly filters: Map<string, Allowed>
  readonly cards: Map<string, Card>
  revision: number
}

/** What a match shows of its panel. */
export type Card = { readonly summary: PanelSummary; readonly candies: readonly Layer[] }
type Kept = { readonly touched: Set<string>; readonly board: Promise<Board> }

/** What Match keeps of one open rack in memory. */
class Boards {
  private noting: Promise<void> | null = null
  private readonly byLight = new Map<string | null, Kept>()
  private readonly rack: Rack

  constructor(rack: Rack) {
    this.rack = rack
  }

  /**
   * The board of a light (null: of all), made if it is not there yet. It takes the rack's connection by turns, so it is not to
   * be asked for by work that holds it.
   */
  load(lightId: string | null): Promise<Board> {
    this.noting ??= noteTouchedSteps(this.rack.db)
    const kept = this.byLight.get(lightId) ?? this.begin(lightId, this.noting)
    // the one asked for last stands last
    this.byLight.delete(lightId)
    this.byLight.set(lightId, kept)
    const others = [...this.byLight.keys()].filter((id) => id !== null)
    for (const id of others.slice(0, Math.max(0, others.length - lightsKept))) this.byLight.delete(id)
    return kept.board
  }

  private begin(lightId: string | null, noting: Promise<void>): Kept {
    const touched = new Set<string>()
    const make = async (): Promise<Board> => {
      await noting
      const steps = await readAll(this.rack.db, lightId)
      return { steps, touched, lightId, filters: new Map(), cards: new Map(), revision: -1 }
    }
    const board = make()
    board.catch(() => this.byLight.delete(lightId))
    return { touched, board }
  }

  /** Brings a board to what the rack says in this transaction. */
  async freshen(db: Rack['db'], board: Board): Promise<void> {
    const { steps, touched, lightId } = board
    const { revision } = await db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
    if (board.revision !== revision) {
      board.filters.clear()
      board.cards.clear()
      board.revision = revision
    }
    for (const stepId of await takeTouchedSteps(db)) for (const kept of this.byLight.values()) kept.touched.add(stepId)
    const due = [...touched]
    for (let from = 0; from < due.length; from += atOnce) {
      const some = due.slice(from, from + atOnce)
      const readings = Map.groupBy(await readCandidates(db, some, { view: null, lightId }), ({ stepId }) => stepId)
      for (const stepId of some) steps.put(stepId, readings.get(stepId) ?? [])
    }
    touched.clear()
  }
}

async function readAll(db: Rack['db'], lightId: string | null): Promise<StepBoard> {
  const board = new StepBoard()
  for (let after = ''; ; ) {
    const steps = await db.selectFrom('step').select('id').where('id', '>', after).orderBy('id').limit(atOnce).execute()
    const last = steps.at(-1)
    if (!last) {
      board.settle()
      return board
    }
    after = last.id
    const ids = steps.map(({ id }) => id)
    board.fill(await readCandidates(db, ids, { view: null, lightId }))
    await new Promise((resolve) => setImmediate(resolve))
  }
}

const boardsOf = new WeakMap<Rack, Boards>()

/** What is kept of a rack; it goes with the rack. */
export function boards(rack: Rack): Boards {
  const known = boardsOf.get(rack) ?? new Boards(rack)
  boardsOf.set(rack, known)
  return known
}

/** Reads a rack's colours soon after it was opened, so that the first search need not wait for them. */
export function readAhead(rack: Rack): void {
  const later = setTimeout(() => {
    // closed meanwhile, or damaged: whoever searches is told
    boards(rack)
      .load(null)
      .catch(() => undefined)
  }, restMs)
  later.unref()
}

/** The panels that a filter lets through, worked out once for each state of the rack. */
export async function allowedBy(db: Rack['db'], board: Board, filter: PanelFilter): Promise<Allowed> {
  const key = JSON.stringify(filter)
  const known = board.filters.get(key)
  if (known) return known
  const ids = letsAllThrough(filter)
    ? null
    : new Set((await (await filteredPanels(db, filter)).panels.select('panel.id').execute()).map(({ id }) => id))
  const panels = new Uint8Array(board.steps.panelCount)
  for (const { panelId, panel } of board.steps.all()) if (ids === null || ids.has(panelId)) panels[panel] = 1
  const allowed = { panels, counts: new Map<View | null, number>() }
  if (board.filters.size >= filtersKept) board.filters.delete(board.filters.keys().next().value!)
  board.filters.set(key, allowed)
  return allowed
}

/** Panels as matches show them, by id. */
export async function cardsOf(db: Rack['db'], board: Board, panelIds: readonly string[]): Promise<Map<string, Card>> {
  if (board.cards.size > cardsKept) board.cards.clear()
  const missing = panelIds.filter((id) => !board.cards.has(id))
  if (missing.length > 0) {
    const summaries = await readSummaries(db, missing)
    const candies = await readLayers(db, missing, 'candy')
    for (const [id, summary] of summaries) board.cards.set(id, { summary, candies: candies.get(id) ?? [] })
  }
  return board.cards
}

/** How many steps there are to compare with. */
export function countAllowed(board: Board, { panels, counts }: Allowed, view: View | null): number {
  const known = counts.get(view)
  if (known !== undefined) return known
  let count = 0
  for (const step of board.steps.all())
    if (panels[step.panel] && (view === null || board.steps.hasView(step, view))) count++
  counts.set(view, count)
  return count
}

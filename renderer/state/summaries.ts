import { create } from 'zustand'
import type { PanelSummary } from '../../shared-core/records/panel.ts'
import { client } from '../client/client.ts'
import { useStore } from './store.ts'

/** A summary as it was at a revision of its rack; null: the panel was not there any more. */
type Held = { summary: PanelSummary | null; revision: number }
type Summaries = { folder: string; held: Map<string, Held>; turn: number }

/** What hanging panels show, by panel. The map is one and the same while a rack is open; `turn` says that it changed. */
export const useSummaries = create<Summaries>(() => ({ folder: '', held: new Map(), turn: 0 }))

/** As many as one call may name. */
const batch = 200
/** Calls at a time: one is drawn up while the other travels. */
const abreast = 2
/** Summaries kept at most; those of the longest ago go first. */
const most = 20_000
const againMs = 1000

let wanted: readonly string[] = []
/** So many of them are in sight, and go alone: they are not to wait for what comes next. */
let inSight = 0
let calls = 0
const underway = new Set<string>()

/** @returns the summary, also of an older revision, or undefined while it is not here */
export const summaryOf = (state: Summaries, id: string): PanelSummary | undefined =>
  state.held.get(id)?.summary ?? undefined

/**
 * Says what is wanted now, the most urgent first; the first `seen` of them are in sight. What was wanted before and was not asked for yet is no longer asked;
 * what came once stays, and is asked again when the rack has changed.
 */
export function wantSummaries(ids: readonly string[], seen: number): void {
  const folder = useStore.getState().rack?.folder ?? ''
  if (useSummaries.getState().folder !== folder) {
    underway.clear()
    useSummaries.setState({ folder, held: new Map(), turn: 0 })
  }
  wanted = ids
  inSight = seen
  while (calls < abreast && askNext());
}

/** @returns whether there was anything to ask */
function askNext(): boolean {
  const { folder, held } = useSummaries.getState()
  const revision = useStore.getState().rack?.revision ?? 0
  const ids: string[] = []
  for (const [at, id] of wanted.entries()) {
    if (at === inSight && ids.length > 0) break
    if (underway.has(id) || held.get(id)?.revision === revision) continue
    ids.push(id)
    if (ids.length === batch) break
  }
  if (ids.length === 0) return false
  calls++
  for (const id of ids) underway.add(id)
  void take(ids, folder, revision)
  return true
}

async function take(ids: readonly string[], folder: string, revision: number): Promise<void> {
  const answer = await client().call('panels.summaries', { ids: [...ids] })
  calls--
  const { held, turn, folder: now } = useSummaries.getState()
  for (const id of ids) underway.delete(id)
  if (now !== folder) return wantSummaries(wanted, inSight)
  if (!answer.ok) {
    // the place itself says what is wrong
    setTimeout(() => wantSummaries(wanted, inSight), againMs)
    return
  }
  const came = new Map(answer.value.panels.map((panel) => [panel.id, panel]))
  for (const id of ids) {
    held.delete(id)
    held.set(id, { summary: came.get(id) ?? null, revision })
  }
  for (const id of held.keys()) {
    if (held.size <= most) break
    held.delete(id)
  }
  useSummaries.setState({ turn: turn + 1 })
  while (calls < abreast && askNext());
}

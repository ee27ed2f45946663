import { useEffect } from 'react'
import { create } from 'zustand'
import type { Failure, Input, Output } from '../../shared-core/contract/calls.ts'
import type { PanelGroup } from '../../shared-core/records/wall.ts'
import { client } from '../client/client.ts'
import { useStore } from './store.ts'

/** All panels that fit the filter, in the order they hang. */
export type RackOrder = Output<'panels.order'> & {
  /** What was asked; another question is another list. */
  of: string
  revision: number
  /** What its groups are. */
  groupedBy: PanelGroup
  /** Where each id hangs. */
  placeOf: ReadonlyMap<string, number>
}
type Orders = { order: RackOrder | null; error: Failure | null }
/** `behind`: the order shown is that of an older question. */
type Shown = Orders & { behind: boolean }

/** The one list that wall, map, choosing and commands go by. */
export const useRackOrder = create<Orders>(() => ({ order: null, error: null }))

type Question = Input<'panels.order'> & { folder: string; revision: number }
const keyOf = ({ folder, filter, sort, group }: Question) => JSON.stringify([folder, filter, sort, group])
const againMs = 1000
/** What is on its way, and what is wanted by now. */
let running: Question | null = null
let latest: Question | null = null

/** Asks for the order whenever filter, sort, group or the rack change; an answer to an older question is dropped. */
export function useOrder(): Shown {
  const folder = useStore((s) => s.rack?.folder ?? '')
  const revision = useStore((s) => s.rack?.revision ?? 0)
  const filter = useStore((s) => s.filter)
  const sort = useStore((s) => s.sort)
  const group = useStore((s) => s.group)
  useEffect(() => {
    ask({ folder, revision, filter, sort, group })
  }, [folder, revision, filter, sort, group])
  const { order, error } = useRackOrder()
  // another rack's panels never hang here
  const here = order?.of.startsWith(`[${JSON.stringify(folder)},`) ? order : null
  return { order: here, error, behind: here !== null && here.of !== keyOf({ folder, revision, filter, sort, group }) }
}

/** One question of a kind at a time: a rack that changes ten times a second is asked as fast as it answers. */
function ask(question: Question): void {
  latest = question
  if (running === null || keyOf(running) !== keyOf(question)) void run(question)
}

async function run(question: Question): Promise<void> {
  const of = keyOf(question)
  const { revision, filter, sort, group } = question
  const known = useRackOrder.getState().order
  if (known?.of === of && known.revision === revision) {
    running = null
    return
  }
  running = question
  const answer = await client().call('panels.order', { filter, sort, group })
  if (running !== question) return
  running = null
  if (answer.ok) {
    const ids = sameIds(known?.ids, answer.value.ids) ?? answer.value.ids
    const placeOf = ids === known?.ids ? known.placeOf : new Map(ids.map((id, place) => [id, place]))
    useRackOrder.setState({ order: { ...answer.value, ids, of, revision, groupedBy: group, placeOf }, error: null })
  } else {
    useRackOrder.setState({ order: null, error: answer.error })
    // a service that was started again answers soon
    if (answer.error.code === 'service/stopped') setTimeout(() => latest === question && void run(question), againMs)
  }
  if (latest && (keyOf(latest) !== of || latest.revision !== revision)) void run(latest)
}

/** The list as it was when nothing moved, so that nothing has to be drawn anew. */
function sameIds(before: string[] | undefined, now: readonly string[]): string[] | null {
  return before && before.length === now.length && before.every((id, at) => id === now[at]) ? before : null
}

/** The chosen ids as a set, made once for each list of them. */
const sets = new WeakMap<readonly string[], ReadonlySet<string>>()
export function setOf(ids: readonly string[]): ReadonlySet<string> {
  const known = sets.get(ids)
  if (known) return known
  const made = new Set(ids)
  sets.set(ids, made)
  return made
}

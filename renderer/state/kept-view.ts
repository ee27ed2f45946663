import { z } from 'zod'
import { PanelFilter, PanelSort } from '../../shared-core/records/panel.ts'
import { PanelGroup } from '../../shared-core/records/wall.ts'
import type { State } from './store.ts'

/** What of the view outlives a reload of the page; another tab and another rack have their own. */
const KeptView = z.object({
  filter: PanelFilter,
  sort: PanelSort,
  group: PanelGroup,
  cardSize: z.number(),
  rackView: z.enum(['wall', 'map']),
  chosen: z.array(z.string()),
  scrolls: z.record(z.string(), z.number()),
  lastPanel: z.string().nullable(),
})
export type KeptView = z.infer<typeof KeptView>

const keyOf = (folder: string) => `overground-view ${folder}`
/** While one scrolls or drags, nothing is written. */
const restMs = 250

/** @returns what was kept of this rack, or nothing; what another version wrote is left alone */
export function readKeptView(folder: string): Partial<KeptView> {
  const text = typeof sessionStorage === 'undefined' ? null : sessionStorage.getItem(keyOf(folder))
  if (text === null) return {}
  try {
    return KeptView.safeParse(JSON.parse(text)).data ?? {}
  } catch {
    return {}
  }
}

export function writeKeptView({ rack, ...state }: State): void {
  if (!rack) return
  const { filter, sort, group, cardSize, rackView, chosen, scrolls, lastPanel } = state
  const kept: KeptView = { filter, sort, group, cardSize, rackView, chosen, scrolls, lastPanel }
  sessionStorage.setItem(keyOf(rack.folder), JSON.stringify(kept))
}

/** Keeps the view as it changes. @returns a function that ends it */
export function keepView(store: {
  getState: () => State
  subscribe: (listener: (now: State, before: State) => void) => () => void
}): () => void {
  let wait: ReturnType<typeof setTimeout> | undefined
  const write = () => {
    clearTimeout(wait)
    writeKeptView(store.getState())
  }
  const names = ['filter', 'sort', 'group', 'cardSize', 'rackView', 'chosen', 'scrolls', 'lastPanel'] as const
  const end = store.subscribe((now, before) => {
    if (!now.rack || names.every((name) => now[name] === before[name])) return
    clearTimeout(wait)
    wait = setTimeout(write, restMs)
  })
  addEventListener('pagehide', write)
  return () => {
    end()
    clearTimeout(wait)
    removeEventListener('pagehide', write)
  }
}

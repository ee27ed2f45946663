import { create } from 'zustand'
import { mostBeside, type SideItem, sameItem } from '../../shared-core/records/side.ts'
import { go, type Route } from './router.ts'
import { type SideHow, usualHow } from './side-address.ts'
import { useStore } from './store.ts'

/** How often the two colours of a blink change places, slowest first; never more than three flashes a second (WCAG 2.3.1). */
export const blinkRates = [
  { name: '2 s', everyMs: 2000 },
  { name: '1 s', everyMs: 1000 },
  { name: '½ s', everyMs: 500 },
] as const

type SideView = {
  /** The place that one has walked to; counted from the left of what was laid out. */
  chosen: number
  /** Two colours by turns in one place; null while all lie beside each other. */
  blink: null | {
    /** Which of the two is seen. */
    sees: 'chosen' | 'other'
    /** It stays as it is until somebody changes it. */
    held: boolean
  }
  everyMs: number
  /** Over the whole window, without bar and tools. */
  fills: boolean
  /** What the commands need of each place: the panel's code, and the readings that could be shown. */
  places: readonly Place[]
}

export type Place = {
  code: string | null
  readingId: string | null
  readingIds: readonly string[]
}

export const openSide: SideView = { chosen: 0, blink: null, everyMs: 1000, fills: false, places: [] }

export const useSide = create<SideView>(() => openSide)

type SideRoute = Extract<Route, { at: 'side' }>

export const sideRoute = (): SideRoute | null => {
  const { route } = useStore.getState()
  return route.at === 'side' ? route : null
}

/** Lays things beside each other, from the left. */
export function laySideBySide(items: readonly SideItem[], how: SideHow = usualHow): void {
  const apart = items.filter((item, i) => items.findIndex((other) => sameItem(item, other)) === i)
  if (apart.length > mostBeside)
    useStore
      .getState()
      .say(
        `Six lie side by side at most: the first six of ${apart.length} are shown.`,
        'Take one away to lay another there.',
      )
  useSide.setState({ ...openSide, everyMs: useSide.getState().everyMs })
  go({ at: 'side', items: apart.slice(0, mostBeside), how })
}

/** The same place otherwise; it leaves no entry to come back to. */
export function layOtherwise(change: { items?: readonly SideItem[]; how?: Partial<SideHow> }): void {
  const route = sideRoute()
  if (!route) return
  const { items = route.items } = change
  go({ at: 'side', items, how: { ...route.how, ...change.how } }, 'replace')
}

/** The place chosen, within those that there are. */
export function chosenPlace(): number {
  const count = sideRoute()?.items.length ?? 0
  return Math.max(0, Math.min(useSide.getState().chosen, count - 1))
}

/** The other of two that blink: the neighbour after the chosen one, before it at the end. With the first: the first. */
export function otherPlace(chosen: number, count: number, against: SideHow['against']): number {
  if (against === 'first' && chosen !== 0) return 0
  return chosen + 1 < count ? chosen + 1 : Math.max(0, chosen - 1)
}

/** Walks along the places; at an end one stays. */
export function choosePlace(to: number): void {
  const count = sideRoute()?.items.length ?? 0
  if (count > 0) useSide.setState({ chosen: Math.max(0, Math.min(to, count - 1)) })
}

/** The chosen one changes places with the one beside it. */
export function movePlace(by: 1 | -1): void {
  const route = sideRoute()
  const from = chosenPlace()
  const to = from + by
  if (!route || to < 0 || to >= route.items.length) return
  const items = [...route.items]
  const [moved] = items.splice(from, 1)
  if (!moved) return
  items.splice(to, 0, moved)
  layOtherwise({ items })
  useSide.setState({ chosen: to })
}

/** The direction on screen of the next place, by how the row is turned. */
export const nextBy: Record<SideHow['turned'], string> = {
  0: 'ArrowRight',
  1: 'ArrowDown',
  2: 'ArrowLeft',
  3: 'ArrowUp',
}

/** Over the whole screen where the host allows it, over the window otherwise. */
export function fillAll(): void {
  useSide.setState({ fills: true })
  // a host that keeps its frame is no failure: the window is filled already
  document.documentElement.requestFullscreen?.().catch(() => undefined)
}

export function leaveFilled(): void {
  useSide.setState({ fills: false })
  if (document.fullscreenElement) void document.exitFullscreen().catch(() => undefined)
}

/** Someone who asked the system for less motion changes the two by key only. */
export const wantsLessMotion = (): boolean =>
  typeof matchMedia === 'function' && matchMedia('(prefers-reduced-motion: reduce)').matches

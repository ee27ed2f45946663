import type { PlanFormula } from '../../shared-core/records/film.ts'
import type { SideItem } from '../../shared-core/records/side.ts'
import { formulaToText, textToFormula } from './plan-address.ts'
import { piecesToSide, type SideHow, sideToPieces } from './side-address.ts'
import { useStore } from './store.ts'

/** What a cup is mixed for: a panel (code or id), a customer's job, or a formula as it was typed. */
export type MixFrom = { kind: 'panel' | 'job' | 'formula'; key: string }

/** Pages of Safe keeping. */
export const carePages = ['backups', 'archive', 'check', 'history'] as const
export type CarePage = (typeof carePages)[number]

/** Every place and every panel has an address, so that a reload lands there again. */
export type Route =
  | { at: 'rack' }
  | { at: 'panel'; key: string }
  | { at: 'panel-form'; key: string | null }
  | { at: 'tray'; photoId: string | null }
  /** `referenceId`: see `Target`. `table`: what lies on the table, itself among it; left out: what lay there before. */
  | { at: 'match'; referenceId: string | null; table?: readonly string[] }
  /** What is laid beside each other, from the left, and how it is shown. */
  | { at: 'side'; items: readonly SideItem[]; how: SideHow }
  /** `formula` null: the one that was worked on last. `referenceId` is as in Match. */
  | { at: 'plan'; formula: PlanFormula | null; referenceId: string | null }
  /** `cupId` null and `from` null: the cups there are, and a new one. `from`: what a new cup is to be mixed for. */
  | { at: 'mix'; cupId: string | null; from: MixFrom | null }
  /** `key`: a job's code or id. */
  | { at: 'jobs'; key: string | null }
  | { at: 'shelf'; materialId: string | null }
  | { at: 'settings' }
  /** `panelId` and `changeId`: whose history, and which of its entries. */
  | { at: 'care'; page: CarePage; panelId?: string | null; changeId?: string | null }
  | { at: 'print-labels' }

export function readRoute(path: string): Route {
  const [place, ...pieces] = partsOf(path)
  const [first, second] = pieces
  switch (place) {
    case 'panel':
      if (first === undefined) return { at: 'rack' }
      if (first === 'new') return { at: 'panel-form', key: null }
      return second === 'edit' ? { at: 'panel-form', key: first } : { at: 'panel', key: first }
    case 'tray':
      return { at: 'tray', photoId: first ?? null }
    case 'match':
      return { at: 'match', referenceId: first ?? null, ...(second === undefined ? {} : { table: pieces.slice(1) }) }
    case 'side':
      return { at: 'side', ...piecesToSide(pieces) }
    case 'plan':
      return { at: 'plan', formula: first === undefined ? null : textToFormula(first), referenceId: second ?? null }
    case 'mix':
      if (first === 'panel' || first === 'job' || first === 'formula') {
        return { at: 'mix', cupId: null, from: second === undefined ? null : { kind: first, key: second } }
      }
      return { at: 'mix', cupId: first ?? null, from: null }
    case 'jobs':
      return { at: 'jobs', key: first ?? null }
    case 'shelf':
      return { at: 'shelf', materialId: first ?? null }
    case 'settings':
      return { at: 'settings' }
    case 'care':
      if (first === 'history' && second !== undefined)
        return { at: 'care', page: first, panelId: second === '-' ? null : second, changeId: pieces[2] ?? null }
      return { at: 'care', page: carePages.find((page) => page === first) ?? 'backups' }
    case 'print-labels':
      return { at: 'print-labels' }
    default:
      return { at: 'rack' }
  }
}

function partsOf(path: string): string[] {
  try {
    return path.split('/').filter(Boolean).map(decodeURIComponent)
  } catch {
    return [] // a broken escape: nothing that we ever wrote
  }
}

export function pathOf(route: Route): string {
  const part = (value: string) => encodeURIComponent(value)
  switch (route.at) {
    case 'panel':
      return `/panel/${part(route.key)}`
    case 'panel-form':
      return route.key === null ? '/panel/new' : `/panel/${part(route.key)}/edit`
    case 'tray':
      return route.photoId === null ? '/tray' : `/tray/${part(route.photoId)}`
    case 'match':
      if (route.referenceId === null) return '/match'
      return ['/match', route.referenceId, ...(route.table ?? [])].map((p, i) => (i === 0 ? p : part(p))).join('/')
    case 'side':
      return ['/side', ...sideToPieces(route).map(part)].join('/')
    case 'plan': {
      const formula = route.formula && part(formulaToText(route.formula))
      if (route.referenceId !== null) return `/plan/${formula ?? '-'}/${part(route.referenceId)}`
      return formula === null ? '/plan' : `/plan/${formula}`
    }
    case 'mix':
      if (route.cupId !== null) return `/mix/${part(route.cupId)}`
      return route.from === null ? '/mix' : `/mix/${route.from.kind}/${part(route.from.key)}`
    case 'jobs':
      return route.key === null ? '/jobs' : `/jobs/${part(route.key)}`
    case 'shelf':
      return route.materialId === null ? '/shelf' : `/shelf/${part(route.materialId)}`
    case 'care':
      if (!route.panelId && !route.changeId) return `/care/${route.page}`
      return ['/care', route.page, part(route.panelId ?? '-'), ...(route.changeId ? [part(route.changeId)] : [])].join(
        '/',
      )
    case 'rack':
    case 'settings':
    case 'print-labels':
      return `/${route.at}`
  }
}

/** Goes to a route; `replace` leaves no entry to come back to. */
export function go(route: Route, how: 'push' | 'replace' = 'push'): void {
  const path = pathOf(route)
  if (how === 'push') {
    if (path !== location.pathname) history.pushState({ depth: depth() + 1 }, '', path)
  } else history.replaceState({ depth: depth() }, '', path)
  useStore.getState().setRoute(route)
}

const depth = (): number => (history.state as { depth?: number } | null)?.depth ?? 0

/** Back to where the user came from, or to `otherwise` when this address was opened directly. */
export function goBack(otherwise: Route): void {
  if (depth() > 0) history.back()
  else go(otherwise, 'replace')
}

/** Starts listening to the browser's own back and forward. */
export function followHistory(): void {
  addEventListener('popstate', () => useStore.getState().setRoute(readRoute(location.pathname)))
}

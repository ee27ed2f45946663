import type { Output } from '../../../../shared-core/contract/calls.ts'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import type { State } from '../../../state/store.ts'
import { isMarked } from '../proposing/laying.ts'

export type Overview = Output<'proposals.overview'>

/** What a row of the pile says: the panel's code where it is known, and how far the photo is. */
export type RowState = { code: string | null; words: string; isSure: boolean }

const lookups = new WeakMap<
  Overview,
  { ready: Map<string, string>; doubtful: Map<string, Overview['doubtful'][number]> }
>()

/** By photo, made once for each answer. */
function lookupOf(overview: Overview) {
  const known = lookups.get(overview)
  if (known) return known
  const made = {
    ready: new Map(overview.ready.map(({ photoId, panelCode }) => [photoId, panelCode])),
    doubtful: new Map(overview.doubtful.map((one) => [one.photoId, one])),
  }
  lookups.set(overview, made)
  return made
}

/** @param sheets  photos that others name as their blank sheet */
export function rowState(photo: Photo, sheets: readonly string[], overview: Overview | undefined): RowState {
  const plain = (words: string): RowState => ({ code: null, words, isSure: false })
  const own = ownState(photo, sheets)
  if (!overview) return plain(own ?? 'not marked yet')
  const { ready, doubtful } = lookupOf(overview)
  if (own !== null) return { ...plain(own), code: doubtful.get(photo.id)?.panelCode ?? null }
  const code = ready.get(photo.id)
  if (code !== undefined) return { code, words: 'sure', isSure: true }
  const doubt = doubtful.get(photo.id)
  if (doubt) return { code: doubt.panelCode, words: doubt.why, isSure: false }
  return plain(overview.waiting > 0 ? 'not looked at yet' : 'not marked yet')
}

/** What somebody has marked on it; null: nothing. */
function ownState({ id, layout }: Photo, sheets: readonly string[]): string | null {
  if (layout.areas.length === 0) {
    if (sheets.includes(id)) return 'blank sheet'
    if (layout.chart) return 'chart marked'
    return isMarked(layout) ? 'card marked' : null
  }
  if (!layout.card && !layout.chart && !layout.sheet) return 'marked, no card'
  return layout.areas.some((area) => area.stepId !== null) ? 'marked for its panel' : 'marked'
}

/** The newest answer, for commands: they ask nothing themselves. */
export const overviewIn = (state: State): Overview | undefined =>
  state.answers['proposals.overview {}']?.value as Overview | undefined

/** Whether all that were sure are being filed now. */
export const isFilingAll = (state: Pick<State, 'jobs'>): boolean =>
  Object.values(state.jobs).some(({ kind, state: is }) => kind === 'filing' && is === 'running')

import { z } from 'zod'
import { Layout } from '../../../shared-core/records/area.ts'
import { Stage, View } from '../../../shared-core/records/colour.ts'
import { isOnlyLookedAt } from '../../commands/command.ts'
import { useStore } from '../../state/store.ts'
import { type Desk, hasUnkept, useDesk } from './desk-state.ts'
import { layoutOf } from './marks.ts'

/**
 * What somebody has marked is kept on this computer until the rack has it: a window that was closed, or a computer that went
 * off, costs no corner. One photo lies on the desk, so one draft is enough for a rack.
 */
const Draft = z.object({
  photoId: z.string(),
  /** The photo's marks as the rack had them: marks that were changed elsewhere since are newer. */
  before: z.string(),
  layout: Layout,
  circumstances: z.object({
    lightId: z.string().nullable(),
    view: View,
    stage: Stage,
    setupId: z.string().nullable(),
    flatPhotoId: z.string().nullable(),
  }),
})

const keyNow = (): string => `overground-marks ${useStore.getState().rack?.folder ?? ''}`

export const beforeOf = ({ layout, lightId, view, stage }: NonNullable<Desk['photo']>): string =>
  JSON.stringify([layout, lightId, view, stage])

export function writeDraft(): void {
  const { photo, marks, circumstances } = useDesk.getState()
  if (!photo || isOnlyLookedAt(useStore.getState())) return
  if (!hasUnkept()) {
    dropDraft(photo.id)
    return
  }
  const draft: z.infer<typeof Draft> = {
    photoId: photo.id,
    before: beforeOf(photo),
    layout: layoutOf(marks),
    circumstances,
  }
  localStorage.setItem(keyNow(), JSON.stringify(draft))
}

export function readDraft(): z.infer<typeof Draft> | null {
  const kept = localStorage.getItem(keyNow())
  if (kept === null) return null
  try {
    return Draft.safeParse(JSON.parse(kept)).data ?? null
  } catch {
    return null // cut off as it was written: the photo is as the rack has it
  }
}

/** The rack has its marks. */
export function dropDraft(photoId: string): void {
  if (readDraft()?.photoId === photoId) localStorage.removeItem(keyNow())
}

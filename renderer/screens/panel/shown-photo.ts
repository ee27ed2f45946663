import { create } from 'zustand'
import type { Photo } from '../../../shared-core/records/photo.ts'

/** The photo that is shown of the open panel. */
export const useShownPhoto = create<{ photo: Photo | null }>(() => ({ photo: null }))

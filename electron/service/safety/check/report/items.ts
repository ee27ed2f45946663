import type { FindingItem } from '../../../../../shared-core/records/check.ts'

/** As many of a finding's items as are told one by one. */
export const mostItems = 200

export const item = (name: string, detail: string, more: Partial<FindingItem> = {}): FindingItem => ({
  name,
  detail,
  path: null,
  photoId: null,
  panelCode: null,
  ...more,
})

import type { Row } from '../../history/rows.ts'
import { comeIn, type Merging } from './merging.ts'
import { needPhoto } from './photos.ts'
import { text } from './sides.ts'
import { need } from './things.ts'

/** What a chart taught there about printed photo sheets. Of a series that is known here in that light, ours stands. */
export function bringKnownSheet(m: Merging, row: Row): void {
  if (m.ours.get('known_sheet', text(row.id))) return
  const lightId = need(m, 'light', row.light_id)
  const here = m.ours.all('select * from known_sheet where deleted_at is null order by id')
  if (here.some((known) => known.series === row.series && known.light_id === lightId)) return
  comeIn(m, 'known_sheet', { ...row, light_id: lightId, photo_id: needPhoto(m, row.photo_id) })
}

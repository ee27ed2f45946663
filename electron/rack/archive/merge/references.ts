import type { Row } from '../../history/rows.ts'
import { alter, comeIn, keyOf, type Merging } from './merging.ts'
import { bringFilings } from './photos.ts'
import { bringReadings } from './readings.ts'
import { text, textOrNull } from './sides.ts'

const colours = (rows: Row[]): string =>
  JSON.stringify(
    rows.map(({ l, a, b, illuminant, observer, view, stage, taken_at }) => [
      l,
      a,
      b,
      illuminant,
      observer,
      view,
      stage,
      taken_at,
    ]),
  )

const readingsOf = 'select * from reading where reference_id = ? and deleted_at is null order by taken_at, l, a, b, id'

function alike(m: Merging, row: Row): Row | undefined {
  const wanted = colours(m.theirs.all(readingsOf, text(row.id)))
  return m.ours
    .all(
      'select * from reference where name = ? and notes = ? and deleted_at is null order by id',
      text(row.name),
      text(row.notes),
    )
    .find((other) => colours(m.ours.all(readingsOf, text(other.id))) === wanted)
}

export function referenceHere(m: Merging, row: Row): { here: string; isNew: boolean } {
  const same = m.ours.get('reference', text(row.id)) ?? alike(m, row)
  return { here: same ? text(same.id) : text(row.id), isNew: !same }
}

/** A reference with its readings; one that is here gets those that it lacks. */
export function needReference(
  m: Merging,
  id: Row[string] | undefined,
  stepHere: (id: string) => string | null,
): string | null {
  const theirId = textOrNull(id)
  if (theirId === null) return null
  const key = keyOf('reference', theirId)
  const known = m.ids.get(key)
  if (known !== undefined) return known
  const row = m.theirs.get('reference', theirId)
  if (!row) return null
  const { here, isNew } = referenceHere(m, row)
  m.ids.set(key, here)
  if (isNew) comeIn(m, 'reference', row)
  else if (here === theirId && m.verdict('reference', theirId) === 'there') {
    const { name, notes } = row
    alter(m, 'reference', here, { name, notes } as Row)
  }
  bringFilings(m, 'reference_id', theirId, here, `of ${here}`)
  bringReadings(m, theirId, { of: 'reference_id', here, stepHere, theirsCounts: false, copy: false })
  return here
}

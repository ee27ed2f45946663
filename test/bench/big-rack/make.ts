import { join } from 'node:path'
import { connect } from '../../../electron/rack/opening/connection.ts'
import { createRack, openRack } from '../../../electron/rack/opening/open.ts'
import { addMaterial } from '../../../electron/rack/queries/shelf.ts'
import { randomFrom } from '../../../electron/service/demonstration/random.ts'
import { shelf } from '../../../electron/service/demonstration/workshop/extras.ts'
import { linkPictures } from './pictures.ts'
import { openRows } from './rows.ts'
import { type Sprayed, sprayPanel } from './sprayed.ts'

export type Made = { panels: number; photos: number; readings: number; pictures: number }

/**
 * Fills a new rack as its own steps would, without a history: rows in one go, search words by the rack's own triggers.
 * The same seed makes the same colours, formulas and pictures; ids are numbered.
 * @param folder  empty
 */
export async function makeBigRack(folder: string, panels: number, seed: number): Promise<Made> {
  const random = randomFrom(`big rack ${seed}`)
  const rack = await createRack(folder, `Long Wall ${panels}`)
  const liquids = shelf(random.fork('shelf'))
  const materials = await rack.change({ label: 'fill the shelf' }, async (change) => {
    for (const liquid of liquids) await addMaterial(change, liquid)
    return change.db.selectFrom('material').select(['id', 'name', 'kind']).execute()
  })
  const lights = (await rack.db.selectFrom('light').select('id').orderBy('position').execute()).map(({ id }) => id)
  await rack.close()

  const raw = connect(join(folder, 'rack.sqlite'))
  const made: Made = { panels, photos: 0, readings: 0, pictures: 0 }
  const cuts: { key: string; of: Sprayed['steps'][number] }[] = []
  try {
    raw.exec('begin')
    const rows = openRows(raw, { materials, lights })
    for (let i = 0; i < panels; i++) {
      const sprayed = sprayPanel(i, random.fork(`panel ${i}`))
      const written = rows.write(i, sprayed)
      made.photos += written.photos
      made.readings += written.readings
      cuts.push(...written.cuts)
    }
    raw.prepare('update rack_info set next_code = ?').run(panels + 1)
    raw.exec('commit')
  } finally {
    raw.close()
  }
  made.pictures = await linkPictures(folder, cuts)

  const whole = await openRack(folder)
  // any change writes the search words of all panels that are due
  await whole.change({ label: 'hang the panels' }, (change) =>
    change.insert('tag', { id: 'tag-first', panel_id: 'panel-000000', position: 99, name: 'first' }),
  )
  await whole.forgetHistory()
  await whole.close()
  return made
}

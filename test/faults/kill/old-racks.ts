import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { v7 } from 'uuid'
import { migrations } from '../../../electron/rack/migrations/list.ts'
import { forgetSeal } from '../../../electron/rack/opening/health.ts'
import { createRack } from '../../../electron/rack/opening/open.ts'

/** Tables that every version has, with what was written in them. */
export const keptTables = ['panel', 'tag', 'layer', 'step', 'light']

/**
 * Racks as each earlier version left them. Filled by hand with what the first version had: the code that filled them then is no
 * more.
 */
export async function oldRacks(folder: string, panels: number): Promise<string[]> {
  mkdirSync(folder, { recursive: true })
  const racks: string[] = []
  for (let version = 1; version < migrations.length; version++) {
    const path = join(folder, `version-${version}`)
    await (await createRack(path, `Version ${version}`, { migrations: migrations.slice(0, version) })).close()
    const raw = new Database(join(path, 'rack.sqlite'))
    raw.transaction(() => fill(raw, panels))()
    raw.close()
    await forgetSeal(path)
    racks.push(path)
  }
  return racks
}

function fill(raw: Database.Database, panels: number): void {
  const put = (table: string, row: Record<string, string | number | null>) => {
    const names = Object.keys(row)
    raw.prepare(`insert into ${table} (${names.join()}) values (${names.map((name) => `@${name}`).join()})`).run(row)
  }
  // later versions keep words of panels by functions of the application's own, or have no triggers at all
  raw.function('sort_key', (name: unknown) => name as string)
  raw.function('hue_order', () => null)
  for (let i = 1; i <= panels; i++) {
    const id = v7()
    put('panel', {
      id,
      code: `P-${String(i).padStart(4, '0')}`,
      title: `Panel ${i}`,
      status: 'sprayed',
      sprayed_on: '2024-05-17',
      sprayed_by: 'Wren',
      substrate: 'aluminium',
      notes: `note ${i * 7919}`,
      created_at: '2024-05-17T10:00:00.000Z',
      deleted_at: null,
    })
    put('tag', { id: v7(), panel_id: id, position: 0, name: i % 2 ? 'tank' : 'boat' })
    const layer = { panel_id: id, coats: 2, mixture_id: null, gun_setup_id: null, booth_id: null, notes: '' }
    put('layer', { ...layer, id: v7(), position: 0, kind: 'ground', name: 'bright gold' })
    put('layer', { ...layer, id: v7(), position: 1, kind: 'clear', name: 'gloss clear' })
    put('step', { id: v7(), panel_id: id, position: 0, coats: 2, notes: '' })
  }
  raw.prepare('update rack_info set next_code = ?').run(panels + 1)
}

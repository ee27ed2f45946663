import { chmod, mkdir, readdir, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { v7 } from 'uuid'
import type { Access } from '../../../shared-core/records/rack.ts'
import { makeFolder } from '../disk/durable.ts'
import { migrations } from '../migrations/list.ts'
import { refreshDerived } from '../queries/wall/derived.ts'
import { alteredRack } from '../refusals.ts'
import { builder, connect, connectToRead } from './connection.ts'
import { examine } from './examine.ts'
import { examineSeal } from './health.ts'
import { isGone, takeLock } from './lock.ts'
import { migrate } from './migrate.ts'
import { type Options, type Rack, rackIdOf, refusing } from './open.ts'
import { readingRackOn } from './rack-on.ts'
import { copyDatabase } from './snapshot.ts'

/** Copies of racks that are only looked at, each in a folder of its own. */
const copiesIn = (home: string): string => join(home, 'looked-at')

/**
 * Opens a rack to be looked at. Nothing at all is written into its folder: its records are copied into the application's own
 * (`home`), brought to the newest form there, and shown from there; photos are read where they are, and small pictures that are
 * missing are made beside the copy.
 * @throws Refusal as `openRack`, without what concerns writing
 */
export async function openForReading(
  folder: string,
  home: string,
  why: NonNullable<Access['why']>,
  options: Options = {},
): Promise<Rack> {
  const steps = options.migrations ?? migrations
  return refusing(folder, async () => {
    await examine(folder, steps.length)
    const seal = await examineSeal(folder)
    if (seal.state === 'altered' && !options.asItIs) throw alteredRack(folder)
    const own = join(copiesIn(home), v7())
    await makeFolder(copiesIn(home))
    await mkdir(own)
    // so that another service that sweeps knows that it is in use
    const lock = await takeLock(own)
    const drop = async () => {
      await lock.release()
      await rm(own, { recursive: true, force: true })
    }
    try {
      const path = join(own, 'rack.sqlite')
      const asOf = new Date().toISOString()
      await copyDatabase(folder, path)
      await chmod(path, 0o600)
      const renditions = join(own, 'renditions')
      await mkdir(renditions)
      await bringUpToDate(path, steps)
      const raw = connectToRead(path)
      const db = builder(raw)
      const access: Access = { mode: 'reading', why, asOf }
      const rackId = await rackIdOf(db, steps.length)
      return readingRackOn({ folder, renditions, rackId, db, raw, cautions: [] }, access, drop)
    } catch (error) {
      await drop()
      throw error
    }
  })
}

async function bringUpToDate(path: string, steps: NonNullable<Options['migrations']>): Promise<void> {
  const raw = connect(path)
  try {
    const db = builder(raw)
    await migrate(db, steps)
    await db.transaction().execute(refreshDerived)
    // a log would have to be written beside it while it is read
    raw.pragma('journal_mode = DELETE')
  } finally {
    raw.close()
  }
}

/** Removes copies whose service did not end as it should. */
export async function sweepCopies(home: string): Promise<void> {
  const names = await readdir(copiesIn(home)).catch(() => [])
  for (const name of names) {
    const own = join(copiesIn(home), name)
    if (await isGone(own)) await rm(own, { recursive: true, force: true })
  }
}

import { CompiledQuery, type Kysely, sql } from 'kysely'
import type { Tables } from '../tables.ts'

/** Runs one statement inside the step's transaction. */
export type Run = (statement: string, parameters?: ReadonlyArray<string | number | null>) => Promise<void>
export type Migration = {
  name: string
  /**
   * Makes a table anew that others refer to. References are then not looked at while the step runs, or dropping the old
   * table would count as emptying it; all of them are looked at before the step is kept.
   * Source: SQLite, ALTER TABLE, section 7, Making Other Kinds Of Table Schema Changes, steps 1 to 12.
   */
  rebuildsTables?: boolean
  up: (run: Run) => Promise<void>
}

export async function versionOf(db: Kysely<Tables>): Promise<number> {
  const { rows } = await sql<{ user_version: number }>`pragma user_version`.execute(db)
  return rows[0]?.user_version ?? 0
}

/**
 * Brings a rack to the last version. Each step and its version number are one transaction: after a failure the rack
 * stands at the last step that succeeded.
 */
export async function migrate(db: Kysely<Tables>, steps: readonly Migration[]): Promise<void> {
  for (let version = await versionOf(db); version < steps.length; version++) {
    const step = steps[version]
    if (!step) throw new Error(`There is no step to version ${version + 1}`)
    if (!step.rebuildsTables) {
      await take(db, step, version + 1)
      continue
    }
    // inside a transaction this setting would do nothing
    await heedReferences(db, false)
    try {
      await take(db, step, version + 1)
    } finally {
      await heedReferences(db, true)
    }
  }
}

async function take(db: Kysely<Tables>, step: Migration, version: number): Promise<void> {
  await db.transaction().execute(async (tx) => {
    await step.up(async (statement, parameters = []) => {
      await tx.executeQuery(CompiledQuery.raw(statement, [...parameters]))
    })
    if (step.rebuildsTables) {
      const { rows } = await sql<{ table: string; parent: string }>`pragma foreign_key_check`.execute(tx)
      const [loose] = rows
      if (loose)
        throw new Error(`“${step.name}” leaves ${rows.length} loose rows: ${loose.table} without its ${loose.parent}`)
    }
    await tx.executeQuery(CompiledQuery.raw(`pragma user_version = ${version}`))
  })
}

async function heedReferences(db: Kysely<Tables>, heeded: boolean): Promise<void> {
  await db.executeQuery(CompiledQuery.raw(`pragma foreign_keys = ${heeded ? 'on' : 'off'}`))
  const { rows } = await sql<{ foreign_keys: number }>`pragma foreign_keys`.execute(db)
  if (rows[0]?.foreign_keys !== (heeded ? 1 : 0)) throw new Error('SQLite did not take the setting of foreign_keys')
}

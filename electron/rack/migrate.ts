import { CompiledQuery, type Kysely, sql } from 'kysely'
import type { Tables } from './tables.ts'

/** Runs one statement inside the step's transaction. */
export type Run = (statement: string, parameters?: ReadonlyArray<string | number | null>) => Promise<void>
export type Migration = { name: string; up: (run: Run) => Promise<void> }

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
    await db.transaction().execute(async (tx) => {
      await steps[version]?.up(async (statement, parameters = []) => {
        await tx.executeQuery(CompiledQuery.raw(statement, [...parameters]))
      })
      await tx.executeQuery(CompiledQuery.raw(`pragma user_version = ${version + 1}`))
    })
  }
}

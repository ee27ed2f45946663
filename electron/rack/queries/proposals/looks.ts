import { type Kysely, sql } from 'kysely'
import { z } from 'zod'
import { ColoursAlong } from '../../../../shared-core/find/filing/colours-along.ts'
import { quickLength } from '../../../../shared-core/find/filing/fingerprint.ts'
import { Caution } from '../../../../shared-core/records/photo.ts'
import { Found } from '../../../../shared-core/records/proposal.ts'
import type { Tables } from '../../tables.ts'
import { among } from '../among.ts'
import { inTray } from '../tray.ts'

/**
 * What was found in photos of the tray. It can be found again, so that it is not in the history, and goes with its photo's row.
 */

/** Raised with every better way of looking: what an older one found is looked for again. */
export const lookVersion = 1

/** What the small picture of a photo says beside what was found in the large one. */
export const SmallLook = z.object({ along: z.array(ColoursAlong).max(20), brightest: z.number() })
export type SmallLook = z.infer<typeof SmallLook>

export type KeptLook = {
  state: 'looking' | 'made' | 'failed'
  found: Found | null
  small: SmallLook | null
  why: Caution | null
  alikeId: string | null
  panelId: string | null
  isWithdrawn: boolean
}

/** Photos of the tray that nobody has looked at in the present way, in the pile's order. */
export async function listUnseen(db: Kysely<Tables>, most: number): Promise<string[]> {
  const rows = await inTray(db)
    .leftJoin('photo_proposal', 'photo_proposal.photo_id', 'photo.id')
    .select('photo.id')
    .where((e) =>
      e.or([
        e('photo_proposal.photo_id', 'is', null),
        e('photo_proposal.version', '<>', lookVersion),
        e('photo_proposal.state', '=', 'looking'),
      ]),
    )
    .orderBy('photo.added_at')
    .orderBy('photo.id')
    .limit(most)
    .execute()
  return rows.map(({ id }) => id)
}

/** A photo that is in the rack, and what is noted of looking at it. */
export async function readToLook(db: Kysely<Tables>, photoId: string) {
  const row = await db
    .selectFrom('photo')
    .leftJoin('photo_proposal', 'photo_proposal.photo_id', 'photo.id')
    .select(['photo.id', 'photo.sha256', 'photo.format', 'photo.name', 'photo.width', 'photo.height', 'photo.filed'])
    .select('photo.added_at as addedAt')
    .select(['photo_proposal.version', 'photo_proposal.state', 'photo_proposal.tries'])
    .where('photo.id', '=', photoId)
    .where('photo.deleted_at', 'is', null)
    .executeTakeFirst()
  if (!row) return null
  const isNow = row.version === lookVersion
  return { ...row, isSeen: isNow && row.state !== 'looking', tries: isNow ? (row.tries ?? 0) : 0 }
}

const now = () => new Date().toISOString()

/** Notes that looking at a photo begins: one that ends whoever looks is then known. @returns false: the photo is gone */
export async function beginLook(db: Kysely<Tables>, photoId: string): Promise<boolean> {
  const { numAffectedRows } = await sql`
    insert into photo_proposal (photo_id, version, state, tries, made_at)
    select id, ${lookVersion}, 'looking', 1, ${now()} from photo where id = ${photoId}
    on conflict (photo_id) do update set
      tries = case when version = excluded.version then tries + 1 else 1 end,
      version = excluded.version, state = excluded.state`.execute(db)
  return Number(numAffectedRows ?? 0) > 0
}

/** Takes a beginning back: whatever ended, it was not this photo. */
export async function putBackLook(db: Kysely<Tables>, photoId: string): Promise<void> {
  await db
    .updateTable('photo_proposal')
    .set((e) => ({ tries: e('tries', '-', 1) }))
    .where('photo_id', '=', photoId)
    .where('state', '=', 'looking')
    .where('tries', '>', 0)
    .execute()
}

/** Whatever was found is looked for again. */
export async function forgetLook(db: Kysely<Tables>, photoId: string): Promise<void> {
  await db
    .updateTable('photo_proposal')
    .set({ state: 'looking', tries: 0, made_at: now() })
    .where('photo_id', '=', photoId)
    .execute()
}

export type Seen = {
  found: Found
  small: SmallLook
  fingerprint: string
  alikeId: string | null
  /** Later photos that look the same, and were looked at before this one. */
  laterIds: readonly string[]
}

export async function keepLook(db: Kysely<Tables>, photoId: string, seen: Seen | { why: Caution }): Promise<void> {
  const what =
    'why' in seen
      ? { state: 'failed' as const, found: null, colours: null, why: JSON.stringify(seen.why), fingerprint: null }
      : {
          state: 'made' as const,
          found: JSON.stringify(seen.found),
          colours: JSON.stringify(seen.small),
          why: null,
          fingerprint: seen.fingerprint,
        }
  await db
    .updateTable('photo_proposal')
    .set((e) => ({
      ...what,
      tries: 0,
      made_at: now(),
      // the other one may have been undone by now
      alike_id: e
        .selectFrom('photo')
        .select('photo.id')
        .where('photo.id', '=', 'why' in seen ? null : seen.alikeId),
    }))
    .where('photo_id', '=', photoId)
    .execute()
  if ('why' in seen || seen.laterIds.length === 0) return
  await db
    .updateTable('photo_proposal')
    .set({ alike_id: photoId, made_at: now() })
    .where('photo_id', 'in', among(seen.laterIds))
    .where('alike_id', 'is', null)
    .execute()
}

/** What the painter says of a photo; what is left out stays as it was. */
export type Sayings = {
  panelId?: string | null | undefined
  withdrawn?: boolean | undefined
  declined?: boolean | undefined
  reference?: boolean | undefined
  bothKept?: boolean | undefined
}

/** Notes what the painter says of a photo, also of one that nobody has looked at. */
export async function noteSaid(db: Kysely<Tables>, photoId: string, said: Sayings): Promise<void> {
  await sql`
    insert into photo_proposal (photo_id, version, state, tries, made_at)
    select id, ${lookVersion}, 'looking', 0, ${now()} from photo where id = ${photoId}
    on conflict (photo_id) do update set made_at = excluded.made_at`.execute(db)
  const flag = (one: boolean | undefined) => (one === undefined ? undefined : one ? (1 as const) : (0 as const))
  const columns = {
    panel_id: said.panelId,
    panel_withdrawn: flag(said.withdrawn),
    marks_declined: flag(said.declined),
    is_reference: flag(said.reference),
    both_kept: flag(said.bothKept),
  }
  await db
    .updateTable('photo_proposal')
    .set({ ...columns, made_at: now() })
    .where('photo_id', '=', photoId)
    .execute()
}

/** Notes of photos, by photo id. What a stranger's records say in another form was never found. */
export async function readLooks(db: Kysely<Tables>, photoIds: readonly string[]): Promise<Map<string, KeptLook>> {
  const rows = await db
    .selectFrom('photo_proposal')
    .select(['photo_id', 'state', 'found', 'colours', 'why', 'alike_id', 'panel_id', 'panel_withdrawn'])
    .where('photo_id', 'in', among(photoIds))
    .where('version', '=', lookVersion)
    .execute()
  return new Map(
    rows.map((row) => {
      const found = parsed(Found, row.found)
      const { state, alike_id: alikeId, panel_id: panelId } = row
      const isBroken = state === 'made' && !found
      return [
        row.photo_id,
        {
          state: isBroken ? 'looking' : state,
          found,
          small: parsed(SmallLook, row.colours),
          why: parsed(Caution, row.why),
          alikeId,
          panelId,
          isWithdrawn: row.panel_withdrawn === 1,
        },
      ]
    }),
  )
}

function parsed<T>(form: z.ZodType<T>, json: string | null): T | null {
  return json === null ? null : (form.safeParse(JSON.parse(json)).data ?? null)
}

/** The beginnings of all fingerprints. */
export async function listQuickPrints(db: Kysely<Tables>): Promise<{ photoId: string; quick: string }[]> {
  const rows = await db
    .selectFrom('photo_proposal')
    .select(['photo_id', sql<string>`substr(fingerprint, 1, ${quickLength})`.as('quick')])
    .where('fingerprint', 'is not', null)
    .execute()
  return rows.map(({ photo_id, quick }) => ({ photoId: photo_id, quick }))
}

/** Fingerprints of photos that are in the rack, oldest first. */
export async function readPrints(db: Kysely<Tables>, photoIds: readonly string[]) {
  return db
    .selectFrom('photo_proposal')
    .innerJoin('photo', 'photo.id', 'photo_proposal.photo_id')
    .select(['photo.id', 'photo.added_at as addedAt', 'photo.width', 'photo.height', 'photo_proposal.fingerprint'])
    .where('photo_proposal.photo_id', 'in', among(photoIds))
    .where('photo.deleted_at', 'is', null)
    .orderBy('photo.added_at')
    .orderBy('photo.id')
    .execute()
}

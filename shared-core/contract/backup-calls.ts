import { z } from 'zod'
import { Backup, BackupState, PlaceFound, RestorePreview } from '../records/backup.ts'
import { command, job, query } from './call.ts'

const folder = z.string().trim().min(1).max(4000)
/** A name in the folder of backups: no path. */
const file = z.string().regex(/^[^/\\]{1,200}\.sqlite$/)

/** Copies of the rack's records, and going back to one. Those that name a folder need no open rack. */
export const backupCalls = {
  /** How safe the open rack is. */
  'backups.describe': query({ input: z.object({}), output: BackupState, errors: [] }),
  /**
   * Backups of the rack in a folder (or of the copies in a second place), newest first. `thorough` reads each to its end, so
   * that a byte that a disk has turned since is found.
   */
  'backups.list': query({
    input: z.object({ folder, thorough: z.boolean() }),
    output: z.object({ backups: z.array(Backup) }),
    errors: ['rack/folder-absent'],
  }),
  'backups.make': job({ input: z.object({}), output: z.object({ jobId: z.string() }), errors: [] }),
  'backups.remove': command({
    input: z.object({ file }),
    output: z.object({}),
    errors: ['backup/absent', 'backup/last-good'],
  }),
  'backups.preview': query({
    input: z.object({ folder, file }),
    output: RestorePreview,
    errors: ['rack/folder-absent', 'backup/absent', 'backup/damaged', 'backup/newer'],
  }),
  /** Puts a backup in the place of the rack's records; a rack that is open is closed for it and opened again. */
  'backups.restore': job({
    input: z.object({ folder, file }),
    output: z.object({ jobId: z.string() }),
    errors: ['rack/folder-absent', 'backup/absent'],
  }),
  /** Makes a whole rack in a new folder from a second place, or the only one in `from`, and opens it. `file` null: from its newest good backup. */
  'backups.restoreElsewhere': job({
    input: z.object({ from: folder, file: file.nullable(), to: folder }),
    output: z.object({ jobId: z.string() }),
    errors: [
      'rack/folder-absent',
      'backup/absent',
      'backup/none-good',
      'second-place/several',
      'rack/already-one',
      'rack/folder-not-empty',
      'rack/read-only',
    ],
  }),
  /** Second places at a folder: itself, or those that lie in it, newest first. Needs no open rack. */
  'secondPlace.find': query({
    input: z.object({ folder }),
    output: z.object({ places: z.array(PlaceFound) }),
    errors: ['rack/folder-absent'],
  }),
  /** Keeps copies of the open rack in this folder from now on (null: no longer), and begins. */
  'secondPlace.choose': command({
    input: z.object({ folder: folder.nullable() }),
    output: BackupState,
    errors: [
      'second-place/absent',
      'second-place/inside-rack',
      'second-place/is-a-rack',
      'second-place/of-another-rack',
      'second-place/not-writable',
    ],
  }),
  /** Brings the second place up to date now. */
  'secondPlace.copyNow': job({
    input: z.object({}),
    output: z.object({ jobId: z.string() }),
    errors: ['second-place/none'],
  }),
}

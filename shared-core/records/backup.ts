import { z } from 'zod'
import { Caution } from './photo.ts'

/** Why a backup was made; each kind is kept by a rule of its own. */
export const BackupKind = z.enum(['daily', 'by-hand', 'before-migration', 'before-change', 'set-aside', 'other'])
export type BackupKind = z.infer<typeof BackupKind>

/** What hangs in a rack, without the trash. */
export const RackCounts = z.object({ panels: z.int(), readings: z.int(), photos: z.int(), jobs: z.int() })
export type RackCounts = z.infer<typeof RackCounts>

/** What was proven of a backup when it was made; it lies beside it. */
export const BackupFacts = z.object({
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  byteCount: z.int().nonnegative(),
  /** The form of its tables. */
  version: z.int().nonnegative(),
  /** Of the rack that it is a copy of; empty before racks had one. */
  rackId: z.string().max(100),
  rackName: z.string().max(400),
  revision: z.int().nonnegative(),
  counts: RackCounts,
  /** Rows of every table. */
  rows: z.record(z.string(), z.int()),
  why: z.string().max(60),
  madeAt: z.iso.datetime(),
})
export type BackupFacts = z.infer<typeof BackupFacts>

/** A backup as it is listed: without opening the rack that it belongs to. */
export const Backup = z.object({
  /** Its name in the folder of backups. */
  file: z.string(),
  madeAt: z.string(),
  kind: BackupKind,
  why: z.string(),
  byteCount: z.int(),
  /**
   * `whole`: its bytes are those that were proven. `unproven`: no facts lie beside it, or its bytes were not compared yet.
   * `damaged`: they are others, or it was set aside because it could not be read.
   */
  state: z.enum(['whole', 'unproven', 'damaged']),
  /** Null where no facts lie beside it. */
  facts: BackupFacts.nullable(),
})
export type Backup = z.infer<typeof Backup>

/** A panel that a restore would touch. */
export const TouchedPanel = z.object({ code: z.string(), title: z.string() })
/** How many, and the first of them by code. */
export const Touched = z.object({ count: z.int(), first: z.array(TouchedPanel) })
export type Touched = z.infer<typeof Touched>

/** What a restore would change, before anybody decides. */
export const RestorePreview = z.object({
  backup: Backup,
  /** What is in the backup. */
  inBackup: RackCounts,
  /** What is in the rack at present; null when its records cannot be read. */
  inRack: RackCounts.nullable(),
  /** Panels that hang there now and not in the backup, the other way round, and in both but not alike. */
  gone: Touched,
  back: Touched,
  different: Touched,
  /** Changes of the history that came after the backup, and since when. */
  changesLost: z.int(),
  lostSince: z.string().nullable(),
  /** Photos taken in since: they are put into the tray. */
  photosToTray: z.int(),
  /** Originals that neither knows, or that lie in the trash: they stay where they are. */
  photosLeft: z.int(),
  /** Photos of the backup whose original is not in the folder. */
  photosMissing: z.int(),
  /** The backup is of this rack; false for another's, null where that is not known. */
  sameRack: z.boolean().nullable(),
})
export type RestorePreview = z.infer<typeof RestorePreview>

/** A second place: another disk, or a folder that a program keeps in step with others. */
export const SecondPlace = z.object({
  /** The folder that was chosen, and the one inside it that holds the copies. */
  chosen: z.string(),
  folder: z.string(),
  state: z.enum(['never', 'whole', 'behind', 'absent', 'failed']),
  /** When everything was there last. */
  wholeAt: z.string().nullable(),
  photos: z.int(),
  byteCount: z.int(),
  /** It lies on the same disk as the rack: lost with it. */
  sameDisk: z.boolean(),
  /** Why the last attempt came to nothing. */
  trouble: Caution.nullable(),
})
export type SecondPlace = z.infer<typeof SecondPlace>

/** A second place that lies at a folder, or in it. */
export const PlaceFound = z.object({
  folder: z.string(),
  /** Whose copies, as they say themselves; empty where nothing says it. */
  rackName: z.string(),
  /** When its newest backup was made; null where none can be used. */
  newest: z.string().nullable(),
})
export type PlaceFound = z.infer<typeof PlaceFound>

/** How safe the open rack is. */
export const BackupState = z.object({
  rackId: z.string(),
  /** The newest backup of this rack that is whole. */
  last: Backup.nullable(),
  /** Something was changed since. */
  changedSince: z.boolean(),
  /** Why the last attempt came to nothing. */
  trouble: Caution.nullable(),
  /** No backup for three days although something was changed. */
  overdue: z.boolean(),
  second: SecondPlace.nullable(),
})
export type BackupState = z.infer<typeof BackupState>

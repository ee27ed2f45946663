import { z } from 'zod'
import { ArchiveFacts, Choice, Comparison, MergeParts, MergeRules } from '../records/archive.ts'
import { FactGroup } from '../records/history.ts'
import { command, job, query } from './call.ts'

const path = z.string().trim().min(1).max(4000)
const archiveErrors = [
  'archive/absent',
  'archive/unreadable',
  'archive/not-one',
  'archive/damaged',
  'archive/suspicious',
  'archive/newer',
] as const

/** A whole rack as one file, and what comes in from one or from another rack. */
export const archiveCalls = {
  /** A file that is not there yet, for an archive of the open rack. */
  'archive.suggest': query({
    input: z.object({}),
    output: z.object({
      folder: z.string(),
      fileName: z.string(),
      byteCount: z.int().nonnegative(),
      free: z.int().nonnegative().nullable(),
    }),
    errors: [],
  }),
  /**
   * Makes the open rack one file. `target` null: as a document that the host hands over.
   * `replace`: a file that is there already gives way; the system's own dialog asked.
   */
  'archive.make': job({
    input: z.object({ target: path.nullable(), replace: z.boolean(), history: z.boolean() }),
    output: z.object({ jobId: z.string() }),
    errors: ['archive/bad-target', 'archive/target-exists', 'archive/no-room', 'archive/busy'],
  }),
  /** What an archive holds; nothing of it is unpacked. */
  'archive.inspect': query({
    input: z.object({ path }),
    output: z.object({ archive: ArchiveFacts }),
    errors: archiveErrors,
  }),
  /** Holds everything in an archive against its checksum. */
  'archive.verify': job({ input: z.object({ path }), output: z.object({ jobId: z.string() }), errors: archiveErrors }),
  /** Makes a rack of an archive in a folder that is not there yet, or empty, and opens it. */
  'archive.unpack': job({
    input: z.object({ path, folder: path }),
    output: z.object({ jobId: z.string() }),
    errors: [
      ...archiveErrors,
      'archive/no-room',
      'archive/busy',
      'rack/already-one',
      'rack/folder-not-empty',
      'rack/folder-absent',
      'rack/path-too-long',
    ],
  }),
  /** Looks what an archive, or the rack in another folder, has that the open rack has not. The other is never written to. */
  'archive.compare': job({
    input: z.object({ path }),
    output: z.object({ jobId: z.string() }),
    errors: [
      ...archiveErrors,
      'archive/itself',
      'archive/busy',
      'rack/not-a-rack',
      'rack/locked',
      'rack/folder-absent',
    ],
  }),
  /** What the last look found; null when nothing was looked at, or the rack was closed since. */
  'archive.comparison': query({
    input: z.object({}),
    output: z.object({ comparison: Comparison.nullable() }),
    errors: [],
  }),
  /** One panel as it hangs there (after) beside the one here (before), in words: what differs, and every colour. */
  'archive.compareOne': query({
    input: z.object({ comparisonId: z.string().max(100), panelId: z.string().max(100) }),
    output: z.object({ groups: z.array(FactGroup) }),
    errors: ['archive/changed'],
  }),
  /** The codes that panels would come in under, by their ids, if it were taken in so: of those that hang beside or anew. */
  'archive.foreseeCodes': query({
    input: z.object({
      comparisonId: z.string().max(100),
      rules: MergeRules,
      choices: z.record(z.string().max(100), Choice),
      parts: MergeParts,
    }),
    output: z.object({ codes: z.record(z.string(), z.string()) }),
    errors: ['archive/changed', 'archive/suspicious'],
  }),
  'archive.forgetComparison': command({ input: z.object({}), output: z.object({}), errors: [] }),
  /** Takes in what was looked at, as one change. `choices`: by their panel's id, where the rules do not go. */
  'archive.mergeIn': job({
    input: z.object({
      comparisonId: z.string().max(100),
      rules: MergeRules,
      choices: z.record(z.string().max(100), Choice),
      parts: MergeParts,
    }),
    output: z.object({ jobId: z.string() }),
    errors: ['archive/changed', 'archive/busy'],
  }),
}

import { z } from 'zod'
import { Layout, MarkedArea } from '../records/area.ts'
import { Geometry, Illuminant, LabRecord, Observer, Stage, View } from '../records/colour.ts'
import { Caution, Photo } from '../records/photo.ts'
import { ReadColour, Reading, Reference } from '../records/reading.ts'
import { command, job, query } from './call.ts'
import { PhotoPoint, pointErrors } from './match-calls.ts'

/** One marked area, read: a colour, or why there is none. A fade has neither colour nor refusal. */
export const AreaResult = z.object({ colour: ReadColour.nullable(), refused: Caution.nullable() })
export type AreaResult = z.infer<typeof AreaResult>

const typedColour = z.object({
  lab: LabRecord,
  illuminant: Illuminant,
  observer: Observer,
  geometry: Geometry,
  /** 90 % bound that its source states, or null: then the usual spread of a typed figure is used. */
  bound90: z.number().positive().max(50).nullable(),
  view: View,
  stage: Stage,
  lightId: z.string().nullable(),
})

/** What a photo is read with besides its own marks: a set-up, and a blank-sheet photo of the same light. */
const help = { setupId: z.string().nullable(), flatPhotoId: z.string().nullable() }
const circumstances = { lightId: z.string().nullable(), view: View, stage: Stage, ...help }

/**
 * Whether the card agrees with something else in the photo whose colour is known (chart, tiles, set-up); `not-checked`
 * where there is nothing.
 */
export const CardCheck = z.enum(['agrees', 'disagrees', 'not-checked'])
export type CardCheck = z.infer<typeof CardCheck>

/** Photos from the tray to a reading, readings and references. */
export const photoCalls = {
  /** Files already on this computer: chosen, dropped, pasted or uploaded to the host's own folder. */
  'photos.takeIn': job({
    input: z.object({
      files: z
        .array(z.object({ path: z.string(), name: z.string() }))
        .min(1)
        .max(5000),
    }),
    output: z.object({ jobId: z.string() }),
    errors: [],
  }),
  /** Which photos wait to be filed, oldest first, and which of them others name as their blank sheet. */
  'photos.listWaiting': query({
    input: z.object({}),
    output: z.object({ ids: z.array(z.string()), sheetIds: z.array(z.string()) }),
    errors: [],
  }),
  /** Some photos, in the order of their ids; those not in the rack (any more) are left out. */
  'photos.getMany': query({
    input: z.object({ photoIds: z.array(z.string()).max(200) }),
    output: z.object({ photos: z.array(Photo) }),
    errors: [],
  }),
  'photos.listTray': query({ input: z.object({}), output: z.object({ photos: z.array(Photo) }), errors: [] }),
  /**
   * `proposed`: the last layout used on a photo of the same size, fitted to this one; null when there is none.
   * `proposedSetupId`: the set-up last calibrated for its camera and, where it is known, its light.
   */
  'photos.get': query({
    input: z.object({ photoId: z.string() }),
    output: z.object({ photo: Photo, proposed: Layout.nullable(), proposedSetupId: z.string().nullable() }),
    errors: ['photo/absent'],
  }),
  /** Photos that can be the blank sheet of this one, nearest in time first: some serve as one already, others wait in the tray. */
  'photos.listFlats': query({
    input: z.object({ photoId: z.string() }),
    output: z.object({ photos: z.array(Photo) }),
    errors: ['photo/absent'],
  }),
  /**
   * Reads the marked areas without keeping anything; one result per area, in order. `lightId` chooses among what is known
   * of a photo sheet; left out, it is the light that the photo names.
   */
  'photos.read': query({
    input: z.object({ photoId: z.string(), layout: Layout, lightId: z.string().nullable().optional(), ...help }),
    output: z.object({ results: z.array(AreaResult), photo: z.array(Caution), cardCheck: CardCheck }),
    errors: ['photo/absent', 'photo/original-missing', 'setup/absent'],
  }),
  /** The colour at a point, by the photo's own card; nothing is kept. Its id is one that is not in the rack. */
  'photos.readPoint': query({
    input: PhotoPoint,
    output: z.object({ reading: Reading }),
    errors: [...pointErrors],
  }),
  /** Keeps what is marked on a photo that is still in the tray. */
  'photos.mark': command({
    input: z.object({ photoId: z.string(), layout: Layout, ...circumstances }),
    output: z.object({ photo: Photo }),
    errors: ['photo/absent', 'setup/absent', 'light/absent'],
  }),
  /** Files a photo to a panel: keeps the layout and one reading for each area whose colour could be read. */
  'photos.file': command({
    input: z.object({
      photoId: z.string(),
      panelId: z.string(),
      layout: Layout,
      ...circumstances,
      ageDays: z.number().nonnegative().nullable(),
    }),
    output: z.object({ readings: z.array(Reading), results: z.array(AreaResult) }),
    errors: [
      'photo/absent',
      'photo/original-missing',
      'panel/absent',
      'photo/nothing-marked',
      'photo/area-without-step',
      'photo/nothing-readable',
      'setup/absent',
      'light/absent',
    ],
  }),
  /**
   * Files a photo as a reference: its area is the colour wanted. With `referenceId` it is another reading of that
   * reference, as when it lies in a photo beside a check panel; its name stays.
   */
  'photos.fileReference': command({
    input: z.object({
      photoId: z.string(),
      name: z.string().trim().min(1).max(200),
      referenceId: z.string().optional(),
      area: MarkedArea,
      card: Layout.shape.card,
      tiles: Layout.shape.tiles,
      chart: Layout.shape.chart,
      mmPerPixel: Layout.shape.mmPerPixel,
      sheet: Layout.shape.sheet,
      ...circumstances,
    }),
    output: z.object({ reference: Reference }),
    errors: [
      'photo/absent',
      'photo/original-missing',
      'photo/nothing-readable',
      'reference/absent',
      'setup/absent',
      'light/absent',
    ],
  }),
  /** Moves a photo to the trash; undo brings it back. Readings taken from it stay. */
  'photos.discard': command({
    input: z.object({ photoId: z.string() }),
    output: z.object({}),
    errors: ['photo/absent'],
  }),
  'readings.addTyped': command({
    input: typedColour.extend({ stepId: z.string() }),
    output: z.object({ reading: Reading }),
    errors: ['step/absent', 'light/absent'],
  }),
  'readings.remove': command({
    input: z.object({ readingId: z.string() }),
    output: z.object({}),
    errors: ['reading/absent'],
  }),
  'references.list': query({ input: z.object({}), output: z.object({ references: z.array(Reference) }), errors: [] }),
  'references.get': query({
    input: z.object({ referenceId: z.string() }),
    output: z.object({ reference: Reference }),
    errors: ['reference/absent'],
  }),
  'references.addTyped': command({
    input: typedColour.extend({ name: z.string().trim().min(1).max(200) }),
    output: z.object({ reference: Reference }),
    errors: ['light/absent'],
  }),
  /** Keeps the colour at a point of a photo as a reference; the photo stays where it is, in the tray or filed. */
  'references.addFromPoint': command({
    input: PhotoPoint.extend({ name: z.string().trim().min(1).max(200) }),
    output: z.object({ reference: Reference }),
    errors: [...pointErrors],
  }),
  'references.rename': command({
    input: z.object({ referenceId: z.string(), name: z.string().trim().min(1).max(200) }),
    output: z.object({ reference: Reference }),
    errors: ['reference/absent'],
  }),
  'references.remove': command({
    input: z.object({ referenceId: z.string() }),
    output: z.object({}),
    errors: ['reference/absent'],
  }),
}

import { correctedSize } from '../../../shared-core/capture/correct.ts'
import { scaleOf } from '../../../shared-core/capture/sheet/page.ts'
import type { PhotoPoint } from '../../../shared-core/contract/match-calls.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { SideShown } from '../../../shared-core/contract/side-calls.ts'
import { groundOfLayers } from '../../../shared-core/film/ground-of-panel.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import type { SideItem } from '../../../shared-core/records/side.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { readPanel } from '../../rack/queries/panel-read.ts'
import { panelAbsent } from '../../rack/queries/panels.ts'
import { readPhotoRecord } from '../../rack/queries/photos.ts'
import { getReading, listPanelReadings } from '../../rack/queries/readings.ts'
import { getReference } from '../../rack/queries/references.ts'
import { layoutWithPoint, readPointOf } from '../point-reading.ts'
import { markOf } from './mark-of.ts'

type Missing = { message: string; remedy: string }

/** What lies in each place, or why nothing does. */
export async function readItems(
  rack: Rack,
  items: readonly SideItem[],
): Promise<{ shown: (SideShown | null)[]; missing: (Missing | null)[] }> {
  const shown: (SideShown | null)[] = []
  const missing: (Missing | null)[] = []
  for (const item of items) {
    const read = await readOrWhy(rack, item)
    shown.push('reading' in read ? read : null)
    missing.push('reading' in read ? null : read)
  }
  return { shown, missing }
}

const noColour: Missing = { message: 'There is no colour of it yet.', remedy: 'Photograph it, or type its colour.' }

/** What somebody removed meanwhile leaves its place empty; it is no reason to show nothing of the others. */
async function readOrWhy(rack: Rack, item: SideItem): Promise<SideShown | Missing> {
  try {
    return (await readItem(rack, item)) ?? noColour
  } catch (error) {
    if (error instanceof Refusal) return { message: error.message, remedy: error.remedy }
    throw error
  }
}

async function readItem(rack: Rack, item: SideItem): Promise<SideShown | null> {
  const { db } = rack
  switch (item.kind) {
    case 'panel': {
      const readings = await listPanelReadings(db, item.id)
      const panel = await readPanel(db, item.id)
      const steps = panel.steps.toSorted((a, b) => b.coats - a.coats)
      const step = steps.find(({ id }) => readings.some(({ stepId }) => stepId === id))
      return step?.id ? showStep(db, item.id, step.id, null) : null
    }
    case 'step':
      return showStep(db, await panelOfStep(db, item.id), item.id, null)
    case 'reading': {
      const reading = await getReading(db, item.id)
      if (reading.stepId !== null)
        return showStep(db, await panelOfStep(db, reading.stepId), reading.stepId, reading.id)
      return reading.referenceId === null ? null : showReference(db, reading.referenceId, reading.id)
    }
    case 'reference':
      return showReference(db, item.id, null)
    case 'point':
      return showPoint(rack, item)
  }
}

async function panelOfStep(db: Rack['db'], stepId: string): Promise<string | null> {
  const row = await db.selectFrom('step').select('panel_id').where('id', '=', stepId).executeTakeFirst()
  return row?.panel_id ?? null
}

async function showStep(
  db: Rack['db'],
  panelId: string | null,
  stepId: string,
  readingId: string | null,
): Promise<SideShown | null> {
  if (panelId === null) throw panelAbsent()
  const panel = await readPanel(db, panelId)
  const readings = (await listPanelReadings(db, panelId)).filter((reading) => reading.stepId === stepId)
  const reading = chosenOf(readings, readingId)
  if (!reading) return null
  const coats = panel.steps.find(({ id }) => id === stepId)?.coats ?? 0
  return {
    name: [panel.code, panel.title].filter(Boolean).join(' '),
    panel: {
      id: panelId,
      code: panel.code,
      title: panel.title,
      ground: groundOfLayers(panel.layers)?.name ?? null,
      coats,
    },
    reading,
    readingIds: readings.map(({ id }) => id),
    photo: await photoOf(db, reading),
  }
}

async function showReference(db: Rack['db'], referenceId: string, readingId: string | null): Promise<SideShown | null> {
  const { name, readings } = await getReference(db, referenceId)
  const reading = chosenOf(readings, readingId)
  if (!reading) return null
  return {
    name,
    panel: null,
    reading,
    readingIds: readings.map(({ id }) => id),
    photo: await photoOf(db, reading),
  }
}

async function showPoint(rack: Rack, point: PhotoPoint): Promise<SideShown> {
  const photo = await readPhotoRecord(rack.db, point.photoId)
  const { layout, at } = layoutWithPoint(photo, point)
  const shape = layout.areas[at]?.shape
  const size = shape ? correctedSize(shape) : null
  return {
    name: `Point in ${photo.name}`,
    panel: null,
    reading: await readPointOf(rack, point),
    readingIds: [],
    photo: size && {
      widthPx: size.widthPx,
      heightPx: size.heightPx,
      mmPerPixel: scaled(scaleOf(layout), size.smaller),
    },
  }
}

/**
 * The one asked for; else the face before other views, what was read in a photo before what has no picture, and of these
 * the surest. Readings come newest first.
 */
function chosenOf(readings: readonly Reading[], readingId: string | null): Reading | undefined {
  if (readingId !== null) return readings.find(({ id }) => id === readingId)
  const rank = (reading: Reading) => (reading.view === 'face' ? 0 : 2) + (reading.cut === null ? 1 : 0)
  return readings.toSorted((a, b) => rank(a) - rank(b) || a.bound90 - b.bound90)[0]
}

async function photoOf(db: Rack['db'], reading: Reading): Promise<SideShown['photo']> {
  const mark = await markOf(db, reading)
  if (!mark) return null
  const { widthPx, heightPx, smaller } = correctedSize(mark.shape)
  return { widthPx, heightPx, mmPerPixel: scaled(scaleOf(mark.layout), smaller) }
}

const scaled = (mmPerPixel: number | null, smaller: number) => (mmPerPixel ? mmPerPixel * smaller : null)

import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Panel } from '../../../shared-core/records/panel.ts'
import { encodeJpeg } from '../../photos/encode.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { noteMove } from '../../rack/queries/bench/stock.ts'
import { readPanel } from '../../rack/queries/panel-read.ts'
import { savePanel } from '../../rack/queries/panels.ts'
import { addMaterial, listLights } from '../../rack/queries/shelf.ts'
import { type Filing, fileAsReference, fileCheck, fileToPanel, takeToTray, typeReference } from './filing.ts'
import { type CheckWanted, writeJobs } from './jobs.ts'
import type { RenderedPhoto } from './picture/render-photo.ts'
import { openRenderPool, type RenderPool } from './picture/render-pool.ts'
import { type Random, randomFrom } from './random.ts'
import { lights, phones } from './workshop/compose.ts'
import { draftOf, lastDay, sprayDay } from './workshop/drafts.ts'
import { referenceIdeas, shelf, typedReference, waiting } from './workshop/extras.ts'
import { lookOf } from './workshop/looks.ts'
import { type PanelIdea, panelIdeas } from './workshop/panels.ts'
import { checkShot, referenceShot, type Shot, shotsOf, trayShot } from './workshop/shots.ts'

export const demonstrationName = 'Saltmarsh Finishing'
export const demonstrationSeed = 1

export type DemonstrationOptions = {
  seed?: number
  onProgress?: (stage: string, done: number, total: number) => void
  signal?: AbortSignal
}

/** A photo to be drawn, and what becomes of it. */
type Task = { shot: Shot; file: (filing: Filing) => Promise<void> }

/**
 * Fills an empty rack with an invented workshop: panels, formulas, photos drawn by our own film model, references and a
 * few photos in the tray. Colours are read by the application's own path. The same seed makes the same photos.
 * The history is empty afterwards.
 * @throws the signal's reason when it is aborted; the rack then holds what was done so far
 */
export async function makeDemonstration(rack: Rack, options: DemonstrationOptions = {}): Promise<{ photos: number }> {
  const { signal, onProgress } = options
  const random = randomFrom(`demonstration ${options.seed ?? demonstrationSeed}`)
  const ideas = inOrderOfSpraying(random.fork('order'))
  const days = ideas.map((_, i) => sprayDay(i, ideas.length, random.fork(`day ${i}`)))
  const panels = await savePanels(rack, ideas, days, random, options)
  const lightIds = new Map((await listLights(rack.db)).map((light) => [light.name, light.id]))
  const folder = await mkdtemp(join(tmpdir(), 'overground-demonstration-'))
  const pool = openRenderPool()
  // Photos are filed in the order of the tasks, while the next ones are being drawn.
  const photograph = async (stage: string, tasks: readonly Task[]): Promise<number> => {
    const drawn: Promise<Drawn>[] = []
    for (const [i, task] of tasks.entries()) {
      signal?.throwIfAborted()
      for (let ahead = drawn.length; ahead < Math.min(tasks.length, i + 1 + pool.size); ahead++) {
        const next = tasks[ahead]
        if (next) drawn.push(handled(draw(pool, folder, next.shot, ahead)))
      }
      const photo = await drawn[i]
      if (!photo) break
      const lightId = lightIds.get(lights[task.shot.light].name) ?? null
      await task.file({ rack, shot: task.shot, lightId, ...photo })
      await rm(photo.path)
      onProgress?.(stage, i + 1, tasks.length)
    }
    return tasks.length
  }
  let photos = 0
  try {
    photos += await photograph('Photographing panels', tasksFor(ideas, days, panels, random))
    // jobs name references, which are there by now
    photos += await photograph('Photographing check panels', checksFor(await writeJobs(rack, panels), random))
  } finally {
    await pool.close()
    await rm(folder, { recursive: true, force: true })
  }
  await typeReference(rack, typedReference)
  await rack.forgetHistory()
  return { photos }
}

type Drawn = { path: string; picture: Omit<RenderedPhoto, 'pixels'> }

async function draw(pool: RenderPool, folder: string, shot: Shot, index: number): Promise<Drawn> {
  const { pixels, ...picture } = await pool.render(shot.plan)
  const phone = phones[shot.phone]
  const dark = shot.light === 'lamp'
  const jpeg = await encodeJpeg({
    pixels,
    width: picture.width,
    height: picture.height,
    space: phone.space,
    quality: 90,
    onItsSide: phone.upright,
    exif: {
      camera: phone.model,
      takenAt: shot.takenAt,
      exposureS: dark ? 1 / 30 : 1 / 120,
      fNumber: 1.8,
      iso: dark ? 400 : 64,
    },
  })
  const path = join(folder, `${index}.jpg`)
  await writeFile(path, jpeg)
  return { path, picture }
}

/** A picture drawn ahead may fail, or be given up, before anybody waits for it. */
function handled<T>(promise: Promise<T>): Promise<T> {
  promise.catch(() => undefined)
  return promise
}

/** Ladders come before blends, but nobody works a list strictly; the faded panel is an old one, the planned one the last. */
function inOrderOfSpraying(random: Random): PanelIdea[] {
  const place = (idea: PanelIdea, i: number): number =>
    idea.status === 'retired' ? -99 : idea.status === 'planned' ? 999 : i + random.between(-6, 6)
  return panelIdeas
    .map((idea, i) => ({ idea, at: place(idea, i) }))
    .toSorted((a, b) => a.at - b.at)
    .map(({ idea }) => idea)
}

async function savePanels(
  rack: Rack,
  ideas: readonly PanelIdea[],
  days: readonly Date[],
  random: Random,
  { signal, onProgress }: DemonstrationOptions,
): Promise<Panel[]> {
  await rack.change({ label: 'fill the shelf' }, async (change) => {
    for (const material of shelf(random.fork('shelf'))) {
      const materialId = await addMaterial(change, material)
      if (!material.onHand) continue
      const counted = { materialId, ...material.onHand, why: 'counted', cupId: null, batch: '', who: 'Wren' } as const
      await noteMove(change, counted, lastDay.toISOString())
    }
  })
  const panels: Panel[] = []
  for (const [i, idea] of ideas.entries()) {
    signal?.throwIfAborted()
    const draft = draftOf(idea, days[i] ?? lastDay, random.fork(`draft ${idea.title}`))
    const id = await rack.change({ label: `add panel ${idea.title}` }, (change) => savePanel(change, draft))
    panels.push(await rack.read((db) => readPanel(db, id)))
    onProgress?.('Writing down panels', i + 1, ideas.length)
  }
  return panels
}

function tasksFor(
  ideas: readonly PanelIdea[],
  days: readonly Date[],
  panels: readonly Panel[],
  random: Random,
): Task[] {
  const tasks: Task[] = []
  const described = ideas.flatMap((idea, i) => {
    const [day, panel] = [days[i], panels[i]]
    return day && panel && idea.status !== 'planned' ? [{ idea, day, panel }] : []
  })
  for (const { idea, day, panel } of described)
    for (const shot of shotsOf(idea, panel.code, day, random.fork(`panel ${idea.title}`)))
      tasks.push({ shot, file: (filing) => fileToPanel(filing, panel) })
  // References come in while panels are being sprayed: their dates lie between.
  for (const [i, idea] of referenceIdeas.entries()) {
    const shot = referenceShot(
      idea,
      sprayDay(i + 1, referenceIdeas.length + 1, random.fork(idea.title)),
      random.fork(`reference ${i}`),
    )
    tasks.push({ shot, file: (filing) => fileAsReference(filing, idea.title) })
  }
  for (const title of waiting) {
    const found = described.find(({ idea }) => idea.title === title)
    if (!found) throw new Error(`There is no panel ${title}.`)
    const shot = trayShot(found.idea, found.panel.code, found.day, lastDay, random.fork(`panel ${title}`))
    tasks.push({ shot, file: takeToTray })
  }
  return tasks
}

/** Each check panel beside what the customer brought, which is the same thing as in its own photo. */
const checksFor = (checks: readonly CheckWanted[], random: Random): Task[] =>
  checks.map(({ panel, idea, reference, referenceId, takenAt }): Task => {
    const i = referenceIdeas.findIndex(({ title }) => title === reference)
    const brought = referenceIdeas[i]
    if (!brought) throw new Error(`Nobody brought ${reference}.`)
    const look = lookOf(brought, random.fork(`reference ${i}`).fork('look'))
    const shot = checkShot(idea, { code: panel.code, takenAt, brought: look }, random.fork(`beside ${reference}`))
    return { shot, file: (filing) => fileCheck(filing, panel, referenceId) }
  })

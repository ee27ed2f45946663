import { randomInt } from 'node:crypto'
import { access, mkdir, readFile, rename } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'
import type { RecentRack } from '../../shared-core/records/rack.ts'
import { defaultSettings, Settings } from '../../shared-core/records/settings.ts'
import { sweepForgotten, writeDurably } from '../rack/disk/durable.ts'
import { remainsOf } from '../rack/opening/remains.ts'

const Recent = z.array(
  z.object({
    folder: z.string(),
    name: z.string(),
    openedAt: z.string(),
    /** Its own name, by which it is found again, and its copies are known. */
    rackId: z.string().optional(),
    /** It was only looked at there. */
    reading: z.boolean().optional(),
    /** The painter has said that its folder lies on this computer, which nobody else knows. */
    local: z.boolean().optional(),
    /** The painter has said that a program keeps its folder the same on several computers. */
    keptInSync: z.boolean().optional(),
  }),
)
type Recent = z.infer<typeof Recent>
const recentKept = 12

/** What belongs to this computer and not to a rack. */
export type AppFiles = {
  readonly folder: string
  settings(): Settings
  saveSettings(settings: Settings): Promise<void>
  listRecent(): Promise<RecentRack[]>
  addRecent(folder: string, name: string, rackId: string, reading: boolean): Promise<void>
  /** As they were noted, without looking whether they are there. */
  recent(): ReadonlyArray<Readonly<Recent[number]>>
  /** What the painter says of a rack’s folder. */
  note(folder: string, said: { keptInSync?: boolean; local?: boolean }): Promise<void>
  forgetRecent(folder: string): Promise<void>
}

export async function openAppFiles(folder: string): Promise<AppFiles> {
  await mkdir(folder, { recursive: true })
  // another service may be writing there just now
  await sweepForgotten(folder)
  const settingsPath = join(folder, 'settings.json')
  const recentPath = join(folder, 'recent-racks.json')
  // a setting that an older version did not know yet has its usual value
  const known = z.preprocess((found) => (isObject(found) ? withUsual(found) : found), Settings)
  let settings = (await readJson(settingsPath, known)) ?? defaultSettings
  if (settings.printing.sheetSeries === 0) {
    settings = { ...settings, printing: { ...settings.printing, sheetSeries: randomInt(1, 65_536) } }
    // a sheet that is printed today must carry the number of one printed next year; where nothing can be written now, it is
    // kept with whatever is chosen for printing
    await writeJson(settingsPath, settings).catch(() => undefined)
  }
  let recent = (await readJson(recentPath, Recent)) ?? []
  const saveRecent = async (list: Recent) => {
    recent = list.slice(0, recentKept)
    await writeJson(recentPath, recent)
  }
  return {
    folder,
    settings: () => settings,
    saveSettings: async (wanted) => {
      await writeJson(settingsPath, wanted)
      settings = wanted
    },
    listRecent: () =>
      Promise.all(
        recent.map(async ({ folder: path, name, openedAt }) => {
          const present = await isThere(join(path, 'rack.sqlite'))
          const recordsGone = !present && (await remainsOf(path)).length > 0
          return { folder: path, name, openedAt, present, recordsGone }
        }),
      ),
    recent: () => recent,
    note: (rackFolder, said) =>
      saveRecent(recent.map((rack) => (rack.folder === rackFolder ? { ...rack, ...said } : rack))),
    addRecent: (rackFolder, name, rackId, reading) =>
      saveRecent([
        {
          ...recent.find((rack) => rack.folder === rackFolder),
          folder: rackFolder,
          name,
          openedAt: new Date().toISOString(),
          rackId,
          reading,
        },
        ...recent.filter((rack) => rack.folder !== rackFolder),
      ]),
    forgetRecent: (rackFolder) => saveRecent(recent.filter((rack) => rack.folder !== rackFolder)),
  }
}

const isObject = (found: unknown): found is Record<string, unknown> =>
  typeof found === 'object' && found !== null && !Array.isArray(found)

const withUsual = (found: Record<string, unknown>): Record<string, unknown> => ({
  ...defaultSettings,
  ...found,
  printing: isObject(found.printing) ? { ...defaultSettings.printing, ...found.printing } : defaultSettings.printing,
})

const isThere = (path: string) =>
  access(path).then(
    () => true,
    () => false,
  )

const writeJson = (path: string, content: unknown) =>
  writeDurably(path, (handle) => handle.writeFile(`${JSON.stringify(content, null, 2)}\n`))

/** @returns null when there is no such file, or it makes no sense: then it is kept beside, and said in the log */
async function readJson<T>(path: string, form: z.ZodType<T>): Promise<T | null> {
  let text: string
  try {
    text = await readFile(path, 'utf8')
  } catch (error) {
    if ((error as { code?: string }).code === 'ENOENT') return null
    throw error
  }
  try {
    return form.parse(JSON.parse(text))
  } catch (error) {
    console.error(`${path} makes no sense, is kept as ${path}.damaged, and the usual values are used:`, error)
    await rename(path, `${path}.damaged`)
    return null
  }
}

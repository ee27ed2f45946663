import type Database from 'better-sqlite3'
import type {
  Choice,
  ComparedPanel,
  Comparison,
  MergeParts,
  MergeRules,
} from '../../../../shared-core/records/archive.ts'
import type { Row } from '../../history/rows.ts'
import { bringCup, bringJob, bringReplacement, bringSearch, type Here } from './bench.ts'
import { bringKnownSheet } from './known-sheets.ts'
import { keyOf, type Merging, makeCodes, makeNames } from './merging.ts'
import type { Operation } from './operations.ts'
import { describePair, type Likely, pairUp, takePanel } from './panels.ts'
import { bringAreas, needPhoto } from './photos.ts'
import { needReference } from './references.ts'
import { folded, type Side, sideOf, text } from './sides.ts'
import { need } from './things.ts'
import { whoWentOn } from './who-went-on.ts'

export type Wish = { rules: MergeRules; choices: Readonly<Record<string, Choice>>; parts: MergeParts }

export type Merged = {
  /** All that hangs there and is not the same here. */
  panels: ComparedPanel[]
  /** Codes of panels that come in, by their ids. */
  codes: Record<string, string>
  counts: Omit<Comparison, 'id' | 'path' | 'name' | 'sameRack' | 'panels' | 'missingPhotos' | 'cautions'>
  files: Merging['files']
  counters: ReturnType<Merging['codes']['counters']>
  /** What ours stood at. */
  revision: number
  /** How many panels come, and how many change. */
  added: number
  changed: number
}

/**
 * Works out what taking one rack into another comes to. Both are only read; what is to be done is told to `sink`.
 * The same two racks and the same wish give the same answer; once it has been carried out, there is nothing left to do.
 */
export function mergeRacks(
  theirs: Database.Database,
  ours: Database.Database,
  wish: Wish,
  sink: (operation: Operation) => void,
): Merged {
  const [theirSide, ourSide] = [sideOf(theirs), sideOf(ours)]
  const { verdict, touchedPanels, photoRows } = whoWentOn(theirs, ours)
  const tally = new Map<string, number>()
  const hanging = theirSide.all('select * from panel where deleted_at is null order by code collate nocase, id')
  const m: Merging = {
    theirs: theirSide,
    ours: ourSide,
    verdict,
    photoRows,
    sink: (operation) => {
      const name = `${operation.kind} ${operation.table}`
      tally.set(name, (tally.get(name) ?? 0) + 1)
      sink(operation)
    },
    parts: wish.parts,
    ids: new Map(),
    coming: new Set(),
    altered: new Map(),
    files: new Map(),
    given: new Map(),
    names: makeNames(ourSide),
    codes: makeCodes(ourSide, new Set(hanging.map(({ code }) => folded(text(code))))),
  }
  const { panels, codes, same, here, added, changed } = takePanels(m, hanging, wish, touchedPanels)
  bringRest(m, here, wish.parts)
  bringAreas(m, here.step)
  const count = (name: string) => tally.get(name) ?? 0
  const photos = [...m.files].filter(([name]) => name.startsWith('photos/'))
  const [{ revision } = { revision: 0 }] = ourSide.all('select revision from rack_info')
  return {
    panels,
    codes,
    files: m.files,
    counters: m.codes.counters(),
    revision: Number(revision),
    added,
    changed,
    counts: {
      same,
      inTrashThere: Number(theirSide.all('select count(*) as n from panel where deleted_at is not null')[0]?.n ?? 0),
      materials: count('insert material'),
      gunSetups: count('insert gun_setup'),
      setups: count('insert setup'),
      lights: count('insert light'),
      references: count('insert reference'),
      jobs: count('insert customer_job'),
      cups: count('insert cup'),
      searches: count('insert saved_search'),
      trayPhotos: waiting(m).filter(
        ({ sha256 }) => ourSide.all('select id from photo where sha256 = ?', text(sha256)).length === 0,
      ).length,
      photos: photos.length,
      photoBytes: photos.reduce((sum, [, { byteCount }]) => sum + (byteCount ?? 0), 0),
    },
  }
}

function takePanels(m: Merging, hanging: readonly Row[], { rules, choices }: Wish, touched: ReadonlySet<string>) {
  const panelIds = new Map<string, string>()
  const stepIds = new Map<string, string>()
  const panels: ComparedPanel[] = []
  const codes: Record<string, string> = {}
  let [same, added, changed] = [0, 0, 0]
  const used = new Set<string>()
  const likely = likelyAmong(m.ours, m.theirs, used)
  for (const panel of hanging) {
    const id = text(panel.id)
    // nothing of it differs, nor of its photos: it need not be looked at
    if (!touched.has(id) && m.ours.get('panel', id)) {
      same++
      panelIds.set(id, id)
      continue
    }
    const pair = pairUp(m, panel, likely)
    if (pair.ours) used.add(text(pair.ours.panel.id))
    const described = describePair(pair)
    if (!described) same++
    const choice = pair.fate === 'same' ? 'mine' : (choices[text(pair.theirs.panel.id)] ?? rules[pair.fate])
    const before = m.coming.size + m.altered.size
    const here = takePanel(m, pair, choice, stepIds)
    if (here !== null) panelIds.set(text(pair.theirs.panel.id), here)
    const isNew = here !== null && m.coming.has(keyOf('panel', here))
    if (isNew) added++
    else if (m.coming.size + m.altered.size > before) changed++
    if (!described) continue
    const code = here === null ? undefined : m.given.get(here)
    if (code !== undefined) codes[described.id] = code
    panels.push({ ...described, newCode: code === undefined || code === described.code ? null : code })
  }
  const here: Here = {
    panel: (id) => panelIds.get(id) ?? null,
    step: (id) => stepIds.get(id) ?? stepOfSame(m, id, panelIds),
  }
  return { panels, codes, same, here, added, changed }
}

/** A step of a panel of which nothing differs. */
function stepOfSame(m: Merging, id: string, panelIds: ReadonlyMap<string, string>): string | null {
  const panelId = text(m.ours.get('step', id)?.panel_id)
  return panelIds.get(panelId) === panelId ? id : null
}

function bringRest(m: Merging, here: Here, parts: MergeParts): void {
  const { theirs } = m
  if (parts.references)
    for (const row of theirs.all('select id from reference where deleted_at is null order by id'))
      needReference(m, row.id, here.step)
  if (parts.jobs) {
    for (const row of theirs.all('select * from customer_job where deleted_at is null order by code, id'))
      bringJob(m, row, here)
    for (const row of theirs.all('select * from cup order by code, id')) bringCup(m, row, here)
  }
  if (parts.shelf) {
    for (const table of ['material', 'gun_setup', 'light'] as const)
      for (const row of theirs.all(`select id from "${table}" order by id`)) need(m, table, row.id)
    for (const row of theirs.all('select id from setup where deleted_at is null order by id')) need(m, 'setup', row.id)
    for (const row of theirs.all('select * from known_sheet where deleted_at is null order by learned_at, id'))
      bringKnownSheet(m, row)
    for (const row of theirs.all('select * from replacement order by id')) bringReplacement(m, row, here)
  }
  if (parts.tray) for (const { id } of waiting(m)) needPhoto(m, id)
  if (parts.searches) for (const row of theirs.all('select * from saved_search order by name, id')) bringSearch(m, row)
}

const waiting = (m: Merging): Row[] =>
  m.theirs.all('select * from photo where filed = 0 and deleted_at is null order by added_at, id')

/**
 * Panels here that one of theirs may be: of the same code, or with one of its photos. None that has a namesake by id
 * there, and none twice.
 */
function likelyAmong(ours: Side, theirs: Side, used: ReadonlySet<string>): Likely {
  return (panel) => {
    const photos = theirs.all(
      'select photo.sha256 from filing join photo on photo.id = filing.photo_id where panel_id = ? and photo.deleted_at is null',
      text(panel.id),
    )
    const found = new Map<string, Row>()
    const add = (rows: Row[]) => {
      for (const row of rows)
        if (!used.has(text(row.id)) && !theirs.get('panel', text(row.id))) found.set(text(row.id), row)
    }
    add(ours.all('select * from panel where code = ? and deleted_at is null', text(panel.code)))
    for (const { sha256 } of photos)
      add(
        ours.all(
          `select panel.* from photo join filing on filing.photo_id = photo.id join panel on panel.id = filing.panel_id
            where photo.sha256 = ? and photo.deleted_at is null and panel.deleted_at is null order by panel.code`,
          text(sha256),
        ),
      )
    return [...found.values()]
  }
}

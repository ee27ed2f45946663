import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { v7 } from 'uuid'
import type { Manifest } from '../../../electron/rack/archive/form.ts'
import { createRack } from '../../../electron/rack/opening/open.ts'
import { allParts, usualRules } from '../../../shared-core/records/archive.ts'
import { rightFiles, sha256 } from '../../rack/archive/right-files.ts'
import { type End, type Made, zipOf } from '../../rack/archive/zip-maker.ts'
import { mutated, tokensOf } from './mutate.ts'
import type { Random } from './random.ts'
import type { Fate, FuzzTarget, Service } from './target.ts'

/** Archives of a rack from strangers: wrong in their bytes, in their heads, in their manifest, in their records. */

const photo = Buffer.concat([Buffer.from([0xff, 0xd8, 0xff]), Buffer.alloc(300, 'paint')])
let records: Buffer = Buffer.alloc(0)

/** A small rack with something in most of its tables. */
async function makeRecords(): Promise<Buffer> {
  const folder = mkdtempSync(join(tmpdir(), 'overground-fuzz-'))
  try {
    const rack = await createRack(join(folder, 'rack'), 'Stranger')
    await rack.change({ label: 'fill' }, async (change) => {
      for (const n of [1, 2, 3]) await fillPanel(change, n)
    })
    await rack.close()
    const path = join(folder, 'rack', 'rack.sqlite')
    const raw = new Database(path)
    raw.pragma('journal_mode = DELETE')
    raw.close()
    return readFileSync(path)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

type Change = Parameters<Parameters<Awaited<ReturnType<typeof createRack>>['change']>[1]>[0]

async function fillPanel(change: Change, n: number): Promise<void> {
  const [panel, step, material, mixture, picture] = [v7(), v7(), v7(), v7(), v7()]
  const at = '2031-05-03T10:00:00.000Z'
  await change.insert('panel', {
    id: panel,
    code: `S-${n}`,
    title: `Stranger ${n}`,
    status: 'sprayed',
    sprayed_on: '2031-05-03',
    sprayed_by: '',
    substrate: '',
    notes: '',
    created_at: at,
    deleted_at: null,
  })
  await change.insert('step', { id: step, panel_id: panel, position: 0, coats: n, notes: '' })
  await change.insert('tag', { id: v7(), panel_id: panel, position: 0, name: 'boat' })
  const unknown = {
    density_kg_per_l: 1,
    volume_solids_percent: null,
    cost_per_l: null,
    on_hand: null,
    on_hand_basis: null,
    opened_on: null,
    reorder_at: null,
    data_sheet_sha256: null,
    data_sheet_name: null,
    pot_life_min: null,
    flake_micron: null,
    isocyanate: null,
    replaced_by_id: null,
  }
  await change.insert('material', {
    id: material,
    name: `dye ${n}`,
    kind: 'concentrate',
    maker_name: '',
    batch: '',
    data_sheet: '',
    notes: '',
    on_shelf: 1,
    ...unknown,
  })
  await change.insert('mixture', { id: mixture, root_id: mixture, name: '', basis: 'volume' })
  await change.insert('mixture_part', {
    id: v7(),
    mixture_id: mixture,
    root_id: mixture,
    position: 0,
    amount: 1,
    unit: 'parts',
    material_id: material,
    child_id: null,
  })
  await change.insert('layer', {
    id: v7(),
    panel_id: panel,
    position: 0,
    kind: 'candy',
    name: '',
    coats: n,
    mixture_id: mixture,
    gun_setup_id: null,
    booth_id: null,
    notes: '',
  })
  const blank = {
    taken_at: null,
    camera: null,
    exposure_s: null,
    f_number: null,
    iso: null,
    white_balance: null,
    focal_length_mm: null,
    light_id: null,
    setup_id: null,
    flat_photo_id: null,
    mm_per_pixel: null,
    sheet: null,
    laid_out_at: null,
  }
  const hash = n === 1 ? sha256(photo) : sha256(Buffer.from(String(n)))
  await change.insert('photo', {
    id: picture,
    sha256: hash,
    name: 'a.jpg',
    format: 'jpeg',
    width: 4,
    height: 3,
    byte_count: photo.length,
    bits: 8,
    profile: 'sRGB',
    profile_assumed: 1,
    view: 'face',
    stage: 'dry',
    filed: 1,
    cautions: '[]',
    added_at: at,
    deleted_at: null,
    ...blank,
  })
  await change.insert('filing', { id: v7(), photo_id: picture, panel_id: panel, reference_id: null, filed_at: at })
}

/** Names and numbers at which archives and databases trip. */
const tokens = tokensOf(
  'PK\x01\x02',
  'PK\x03\x04',
  'PK\x05\x06',
  'PK\x06\x06',
  'PK\x06\x07',
  '../',
  'C:\\',
  'rack.sqlite',
  'photos/',
  'trigger',
  'SQLite format 3\0',
)
const names = [
  '../../x',
  '/etc/x',
  'C:\\x',
  'rack.sqlite',
  'manifest.json',
  'photos/aa/',
  'lock',
  'a\0b',
  'photos/ab/'.padEnd(78, 'a'),
  '\u202egpj.exe',
  'x'.repeat(60_000),
]

function harmedHeads(random: Random, files: Made[]): Made[] {
  const any = () => random.pick([0, 1, 7, 8, 0xffff, 0x7fffffff, 0xffffffff, random.int(2 ** 32)])
  const [which, extra] = [random.int(files.length), random.bytes(random.int(40))]
  const harmed = files.map((made, at): Made => {
    if (at !== which) return made
    const says: Made['says'] = random.pick([
      { byteCount: any() },
      { packedBytes: any() },
      { crc32: any() },
      { flags: any() & 0xffff },
      { method: any() & 0xffff },
      { attributes: any() },
      { madeBy: any() & 0xffff, attributes: any() },
      { disk: any() & 0xffff },
      { offset: any() },
      { localName: random.pick(names) },
      { extra: Buffer.from(extra) },
    ])
    return random.chance(0.3) ? { ...made, name: random.pick(names) } : { ...made, says }
  })
  return random.chance(0.2) ? [...harmed, random.pick(files)] : harmed
}

function harmedEnd(random: Random): End {
  const any = (most: number) => random.int(most)
  return random.pick<End>([
    { disk: any(0xffff) },
    { entries: any(0xffff) },
    { entries: any(9), entriesHere: any(9) },
    { byteCount: any(2 ** 32) },
    { offset: any(2 ** 32) },
    { comment: Buffer.from(random.bytes(any(300))) },
    { behind: Buffer.from(random.bytes(any(300))) },
    { before: Buffer.from(random.bytes(any(300))) },
  ])
}

function harmedManifest(random: Random, manifest: Manifest): unknown {
  const text = JSON.stringify(manifest)
  const harmed = Buffer.from(mutated(Buffer.from(text), random, [], tokens)).toString('utf8')
  try {
    return JSON.parse(harmed) as unknown
  } catch {
    const key = random.pick(Object.keys(manifest))
    return { ...manifest, [key]: random.pick([null, -1, 1e308, '', [], {}, 'x'.repeat(5000), [[[[]]]]]) }
  }
}

/** Statements of somebody who knows how a rack is made. */
const meddling = [
  'create trigger x after insert on panel begin delete from panel; end',
  "update photo set cautions = '{}'",
  'update panel set title = char(0) || title',
  'update mixture_part set amount = 9e999',
  'update rack_info set next_code = 9223372036854775807',
  "update change_row set after = '[]' where after is not null",
  'update material set replaced_by_id = id',
  'update mixture set root_id = (select id from mixture order by id desc limit 1)',
  'update step set coats = 1e308',
  'drop index panel_code',
  "insert into panel_words (rowid, words) values (1, 'x')",
]

function harmedRecords(random: Random): Buffer {
  if (random.chance(0.7)) {
    // one page, or two: the whole of it would be cut short
    const at = random.chance(0.3) ? 0 : random.int(records.length)
    const page = Buffer.from(mutated(records.subarray(at, at + 8192), random, [], tokens))
    return Buffer.concat([records.subarray(0, at), page, records.subarray(at + 8192)])
  }
  const raw = new Database(records)
  try {
    raw.exec(`pragma foreign_keys = off; ${random.pick(meddling)}`)
    return raw.serialize()
  } catch {
    return records
  } finally {
    raw.close()
  }
}

function makeArchive(random: Random): Uint8Array {
  const right = rightFiles({ records, photo })
  switch (random.int(7)) {
    case 0:
      return zipOf(right)
    case 1:
      return zipOf(harmedHeads(random, right))
    case 2:
      return zipOf(right, harmedEnd(random))
    case 3:
      return zipOf(rightFiles({ records, photo, manifest: (manifest) => harmedManifest(random, manifest) }))
    case 4:
    case 5:
      return zipOf(rightFiles({ records: harmedRecords(random), photo }))
    default:
      return mutated(zipOf(right), random, [], tokens)
  }
}

async function unpack(service: Service, path: string, i: number): Promise<Fate> {
  const folder = join(service.folder, `unpacked-${i}`)
  try {
    const begun = await service.call('archive.unpack', { path, folder })
    if (!begun.ok) return 'refused'
    const job = await service.ended((begun.value as { jobId: string }).jobId)
    if (job.state !== 'done') return 'refused'
    // what came in can be looked at like any rack
    for (const name of ['panels.list', 'photos.listWaiting'])
      await service.call(name, name === 'panels.list' ? { filter: {}, sort: 'code', limit: 20 } : {})
    return 'taken'
  } finally {
    await service.call('rack.open', { folder: service.rack })
    rmSync(folder, { recursive: true, force: true })
  }
}

async function takeIn(service: Service, path: string): Promise<Fate> {
  const begun = await service.call('archive.compare', { path })
  if (!begun.ok) return 'refused'
  const looked = await service.ended((begun.value as { jobId: string }).jobId)
  if (looked.state !== 'done') return 'refused'
  const answer = await service.call('archive.comparison', {})
  const comparison = answer.ok ? (answer.value as { comparison: { id: string } | null }).comparison : null
  if (!comparison) return 'refused'
  const wish = { comparisonId: comparison.id, rules: usualRules, choices: {}, parts: allParts }
  const taken = await service.call('archive.mergeIn', wish)
  if (!taken.ok) return 'refused'
  const job = await service.ended((taken.value as { jobId: string }).jobId)
  await service.call('panels.list', { filter: {}, sort: 'code', limit: 20 })
  if (job.state === 'done' && !(job.outcome ?? '').includes('Nothing was changed'))
    await service.call('history.undo', {})
  return job.state === 'done' ? 'taken' : 'refused'
}

export const archives: FuzzTarget<Uint8Array> = {
  name: 'archives',
  mostMb: 900,
  prepare: async () => {
    if (records.length === 0) records = await makeRecords()
  },
  make: (random) => makeArchive(random),
  run: async (bytes, service, i) => {
    const path = service.file('stranger.overground.zip', bytes)
    const seen = await service.call('archive.inspect', { path })
    if (!seen.ok) return 'refused'
    // opening a rack takes a hundred times as long as looking inside
    if (i % 16 === 3) return unpack(service, path, i)
    return i % 16 === 11 ? takeIn(service, path) : 'taken'
  },
  keep: (bytes) => bytes,
}

import { createHash } from 'node:crypto'
import type Database from 'better-sqlite3'
import { cutKeyOf } from '../../../electron/rack/queries/layouts.ts'
import { type Random, randomFrom } from '../../../electron/service/demonstration/random.ts'
import type { Quad, Shape } from '../../../shared-core/records/area.ts'
import type { Sprayed } from './sprayed.ts'

type Known = { materials: readonly { id: string; name: string; kind: string }[]; lights: readonly string[] }
type Written = { photos: number; readings: number; cuts: { key: string; of: Sprayed['steps'][number] }[] }
type Value = string | number | null

const lastDay = Date.UTC(2031, 5, 1)
const dayMs = 86_400_000
/** Two photos of each panel are read, the other two only show it. */
const [photosEach, readEach] = [4, 2]
const parts = JSON.stringify([
  { cause: 'light', de00: 1.1, words: 'the light across the photo', shared: 'photo' },
  { cause: 'grain', de00: 0.6, words: 'flake in the area' },
])
const [size, band] = [
  { width: 4032, height: 3024 },
  { left: 900, right: 2100, top: 400, bottom: 2600 },
]

/** Writes panels as rows. Statements are prepared once. */
export function openRows(raw: Database.Database, { materials, lights }: Known) {
  const statements = new Map<string, Database.Statement>()
  const insert = (table: string, row: Record<string, Value>): void => {
    const known = statements.get(table)
    const names = Object.keys(row)
    const statement =
      known ?? raw.prepare(`insert into ${table} (${names.join(', ')}) values (${names.map(() => '?').join(', ')})`)
    if (!known) statements.set(table, statement)
    statement.run(Object.values(row))
  }
  const idOf = (name: string): string => {
    const found = materials.find((material) => material.name === name)
    if (!found) throw new Error(`The shelf has no ${name}`)
    return found.id
  }
  const mixture = (id: string, amounts: readonly (readonly [name: string, parts: number])[]): string => {
    insert('mixture', { id, root_id: id, name: '', basis: 'volume' })
    for (const [position, [name, amount]] of amounts.entries())
      insert('mixture_part', {
        id: `${id}-${position}`,
        mixture_id: id,
        root_id: id,
        position,
        amount,
        unit: 'parts',
        material_id: idOf(name),
        child_id: null,
      })
    return id
  }
  const layer = (
    panelId: string,
    position: number,
    kind: string,
    name: string,
    coats: number,
    mixtureId: string | null,
  ) =>
    insert('layer', {
      id: `layer${panelId.slice(5)}-${position}`,
      panel_id: panelId,
      position,
      kind,
      name,
      coats,
      mixture_id: mixtureId,
      gun_setup_id: null,
      booth_id: null,
      notes: '',
    })

  const write = (index: number, sprayed: Sprayed): Written => {
    const number = String(index).padStart(6, '0')
    const panelId = `panel-${number}`
    const random = randomFrom(`readings of ${index}`)
    const at = new Date(lastDay - sprayed.daysAgo * dayMs).toISOString()
    insert('panel', {
      id: panelId,
      code: `P-${String(index + 1).padStart(4, '0')}`,
      title: sprayed.title,
      status: 'sprayed',
      sprayed_on: at.slice(0, 10),
      sprayed_by: 'Wren',
      substrate: 'aluminium, 100 × 150 mm',
      notes: '',
      created_at: at,
      deleted_at: null,
    })
    for (const [position, name] of sprayed.tags.entries())
      insert('tag', { id: `tag-${number}-${position}`, panel_id: panelId, position, name })
    const most = Math.max(...sprayed.steps.map(({ coats }) => coats))
    layer(panelId, 0, 'sealer', 'light grey', 1, null)
    layer(panelId, 1, 'ground', sprayed.ground, 2, null)
    const candy = [
      ['Tern carrier', sprayed.carrierParts],
      ...sprayed.dyes.map(({ name, parts: amount }) => [name, amount]),
      ['Tern hardener', sprayed.carrierParts / 2],
      ['Medium reducer', (sprayed.carrierParts * 3) / 10],
    ] as [string, number][]
    layer(panelId, 2, 'candy', '', most, mixture(`mix-${number}`, candy))
    if (sprayed.isCleared)
      layer(
        panelId,
        3,
        'clear',
        'Glass clear',
        2,
        mixture(`clear-${number}`, [
          ['Glass clear', 2],
          ['Glass hardener', 1],
        ]),
      )
    for (const [position, { coats }] of sprayed.steps.entries())
      insert('step', { id: `step-${number}-${position}`, panel_id: panelId, position, coats, notes: '' })
    const written: Written = { photos: photosEach, readings: 0, cuts: [] }
    for (let photo = 0; photo < photosEach; photo++) readPhoto(number, panelId, photo, at, sprayed, random, written)
    return written
  }

  function readPhoto(
    number: string,
    panelId: string,
    photo: number,
    at: string,
    sprayed: Sprayed,
    random: Random,
    written: Written,
  ): void {
    const photoId = `photo-${number}-${photo}`
    const sha256 = createHash('sha256').update(photoId).digest('hex')
    const lightId = lights[photo % 2 === 0 ? 0 : random.whole(0, lights.length - 1)] ?? null
    const stage = sprayed.isCleared ? 'cleared' : 'dry'
    insert('photo', {
      id: photoId,
      sha256,
      name: `${photoId}.jpg`,
      format: 'jpeg',
      ...size,
      byte_count: 4_000_000,
      bits: 8,
      profile: 'sRGB',
      profile_assumed: 0,
      taken_at: at,
      camera: null,
      exposure_s: null,
      f_number: null,
      iso: null,
      light_id: lightId,
      view: 'face',
      stage,
      filed: 1,
      laid_out_at: at,
      cautions: '[]',
      added_at: at,
    })
    insert('filing', { id: `filing-${number}-${photo}`, photo_id: photoId, panel_id: panelId, filed_at: at })
    if (photo >= readEach) return
    const off = [random.normal(), random.normal(), random.normal()].map((value) => value * 0.5) as [
      number,
      number,
      number,
    ]
    const tall = (band.bottom - band.top) / sprayed.steps.length
    for (const [position, step] of sprayed.steps.entries()) {
      const top = band.top + position * tall
      const quad: Quad = [
        [band.left, top],
        [band.right, top],
        [band.right, top + tall],
        [band.left, top + tall],
      ]
      const shape: Shape = { kind: 'quad', quad }
      const key = cutKeyOf(sha256, shape)
      const id = `${number}-${photo}-${position}`
      insert('area', {
        id: `area-${id}`,
        photo_id: photoId,
        position,
        step_id: `step-${number}-${position}`,
        kind: 'quad',
        points: JSON.stringify(quad),
        radius: null,
        cut_key: key,
      })
      insert('reading', {
        id: `reading-${id}`,
        step_id: `step-${number}-${position}`,
        reference_id: null,
        photo_id: photoId,
        area_id: `area-${id}`,
        l: step.lab.l + off[0] + 0.2 * random.normal(),
        a: step.lab.a + off[1] + 0.3 * random.normal(),
        b: step.lab.b + off[2] + 0.3 * random.normal(),
        illuminant: 'D50',
        observer: '2',
        geometry: 'photo',
        level: 'card',
        bound90: Math.hypot(1.1, 0.6),
        parts,
        cautions: '[]',
        cut_key: key,
        light_id: lightId,
        view: 'face',
        stage,
        age_days: 7,
        taken_at: at,
        deleted_at: null,
        bound_shared_photo: 1.1,
        bound_shared_setup: 0,
      })
      written.readings++
      written.cuts.push({ key, of: step })
    }
  }
  return { write }
}

import { createHash } from 'node:crypto'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import sharp from 'sharp'
import { afterAll, onTestFinished } from 'vitest'
import { createRack, type Options, type Rack } from '../../electron/rack/opening/open.ts'
import type { addPhoto } from '../../electron/rack/queries/photos.ts'
import { trackedTables } from '../../electron/rack/tables.ts'
import type { PanelDraft } from '../../shared-core/records/panel.ts'
import type { SetupFit } from '../../shared-core/records/setup.ts'
import { candyMixture, layer } from './layers-typed.ts'

/** Real racks, drafts and photos for tests. */

export function freshFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'overground-test-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

/** A folder for a whole test file: to be called outside of any test. */
export function workFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'overground-test-'))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

export async function freshRack(options: Options = {}): Promise<Rack> {
  const rack = await createRack(join(freshFolder(), 'rack'), 'Test rack', options)
  onTestFinished(() => rack.close())
  return rack
}

export const draft = (more: Partial<PanelDraft> = {}): PanelDraft => ({
  id: null,
  code: null,
  title: 'Teal over gold',
  status: 'sprayed',
  sprayedOn: '2024-05-17',
  sprayedBy: 'Wren',
  substrate: 'aluminium 100 × 150',
  notes: '',
  tags: ['teal'],
  layers: [
    layer('ground', 'bright gold'),
    layer('candy', '', { coats: 4, mixture: candyMixture('copper', 'crimson') }),
    layer('clear', 'gloss clear', { coats: 2 }),
  ],
  steps: [
    { id: null, coats: 2, notes: '' },
    { id: null, coats: 4, notes: '' },
  ],
  ...more,
})

/** A photo's row as intake writes it; its original is not there. */
export const newPhoto = (id: string, more: Partial<NewPhoto> = {}): NewPhoto => ({
  id,
  sha256: createHash('sha256').update(id).digest('hex'),
  name: `${id}.jpg`,
  format: 'jpeg',
  width: 4000,
  height: 3000,
  byteCount: 5_000_000,
  bits: 8,
  profile: 'Display P3',
  profileAssumed: false,
  exposure: {
    takenAt: '2024-05-01T10:00:00',
    camera: 'Ember 5',
    exposureS: 1 / 120,
    fNumber: 1.8,
    iso: 64,
    whiteBalance: 'manual',
    focalLengthMm: 5.7,
  },
  lightId: null,
  view: 'face',
  stage: 'dry',
  cautions: [],
  addedAt: '2024-05-01T10:00:00.000Z',
  ...more,
})
type NewPhoto = Parameters<typeof addPhoto>[1]

export const setupFit = (more: Partial<SetupFit> = {}): SetupFit => ({
  version: 1,
  profile: 'Display P3',
  camera: Array.from({ length: 18 }, (_, i) => i / 7),
  covariance: Array.from({ length: 18 * 18 }, (_, i) => (i % 19 === 0 ? 0.01 : 0)),
  residual: { median: 1.1, p90: 2.3, patches: 24 },
  card: [0.18, 0.19, 0.17],
  exposure: newPhoto('x').exposure,
  ...more,
})

/** Everything that can be undone, as text: equal text is equal data. */
export async function dump(rack: Rack): Promise<string> {
  const tables: Record<string, unknown> = {}
  for (const table of trackedTables) tables[table] = await rack.db.selectFrom(table).selectAll().orderBy('id').execute()
  return JSON.stringify(tables, null, 1)
}

/** A flat photo with a little grain; another `seed` is another file. */
export async function photoFile(path: string, seed: number, width = 240, height = 180): Promise<string> {
  const pixels = Buffer.alloc(width * height * 3)
  let state = (seed * 2654435761 + 1) >>> 0
  for (let i = 0; i < pixels.length; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    pixels[i] = 110 + (seed % 40) + (state >>> 28)
  }
  await sharp(pixels, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: 90 })
    .toFile(path)
  return path
}

import { createHash } from 'node:crypto'
import { archiveForm, archiveKind, type Manifest } from '../../../electron/rack/archive/form.ts'
import { migrations } from '../../../electron/rack/migrations/list.ts'
import type { Made } from './zip-maker.ts'

export const sha256 = (bytes: Buffer): string => createHash('sha256').update(bytes).digest('hex')

export type Parts = { records: Buffer; photo: Buffer; manifest?: (manifest: Manifest) => unknown }

/** The files of an archive that is right in every way, to be made wrong in one. */
export function rightFiles({ records, photo, manifest = (right) => right }: Parts): Made[] {
  const name = `photos/${sha256(photo).slice(0, 2)}/${sha256(photo)}.jpg`
  const right: Manifest = {
    kind: archiveKind,
    form: archiveForm,
    rackId: '0190a000-0000-7000-8000-0000000000aa',
    name: 'Small rack',
    madeAt: '2031-05-03T10:00:00.000Z',
    madeBy: '0.0.0',
    schema: migrations.length,
    history: true,
    panels: 1,
    photos: 1,
    missing: [],
    members: [
      { name, byteCount: photo.length, sha256: sha256(photo) },
      { name: 'rack.sqlite', byteCount: records.length, sha256: sha256(records) },
    ],
  }
  return [
    { name: 'rack.sqlite', bytes: records, deflate: true },
    { name, bytes: photo },
    { name: 'manifest.json', bytes: Buffer.from(JSON.stringify(manifest(right))), deflate: true },
  ]
}

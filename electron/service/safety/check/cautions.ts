import type { Finding } from '../../../../shared-core/records/check.ts'
import type { Caution, PhotoFormat } from '../../../../shared-core/records/photo.ts'
import { listOriginals } from '../../../rack/backups/preview.ts'
import { extensions } from '../../../rack/disk/photo-store.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import { broughtBackCode } from './report/file-words.ts'
import { openFindings } from './report/report.ts'

/** What a painter has to know of the state of the rack's files and records wherever they are. */
export type RackLook = {
  /** Looks anew: as the rack is opened, and when a look through or a repair has ended. Reads no file. */
  look(rack: Rack): Promise<void>
  /** What the last look came to. */
  cautions(rack: Rack): Caution[]
}

/** @param onChanged  other cautions than before */
export function makeRackLook(onChanged: (rack: Rack) => Promise<void>): RackLook {
  const known = new WeakMap<Rack, Caution[]>()
  return {
    look: async (rack) => {
      if (rack.access.mode !== 'full') return
      const cautions = await cautionsOf(rack)
      const before = known.get(rack) ?? []
      known.set(rack, cautions)
      if (JSON.stringify(before) !== JSON.stringify(cautions)) await onChanged(rack)
    },
    cautions: (rack) => known.get(rack) ?? [],
  }
}

async function cautionsOf(rack: Rack): Promise<Caution[]> {
  const findings = await openFindings(rack)
  const { missing, of } = await missingOriginals(rack)
  // a drive that was pulled out has not lost every photo: that is told in other words
  if (missing > 0) await rack.verify()
  const told = findings.find(({ code }) => code === 'original-missing')
  const isTold = told !== undefined && told.count >= missing
  return [...(missing > 0 && !isTold ? [originalsMissing(missing, of)] : []), ...findings.map(asCaution)]
}

/** Names in the folder of photos against those that the records name: whether the files are whole takes a look through. */
async function missingOriginals(rack: Rack): Promise<{ missing: number; of: number }> {
  const named = await rack.db.selectFrom('photo').select(['sha256', 'format']).where('deleted_at', 'is', null).execute()
  const there = await listOriginals(rack.folder)
  const missing = named.filter(({ sha256, format }) => there.get(sha256) !== extensions[format as PhotoFormat])
  return { missing: missing.length, of: named.length }
}

const originalsMissing = (missing: number, of: number): Caution => ({
  code: 'rack/originals-missing',
  message: `${missing} of ${of === 1 ? '1 original is' : `${of} originals are`} not there: the photos’ own files are gone from the rack’s folder. Panels and readings are safe.`,
  remedy:
    'Open “Check and repair” and look through everything: it looks in the second place by itself, and in any folder that you name.',
})

const asCaution = ({ code, title, todo }: Finding): Caution => ({
  code: `check/${code}`,
  message: code === broughtBackCode ? `${title}: a sign that the drive is failing.` : `${title}.`,
  remedy: code === broughtBackCode ? todo : 'Open “Check and repair”: it says what is safe and what to do.',
})

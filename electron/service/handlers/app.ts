import { url as inspectorAddress } from 'node:inspector'
import { sharp } from '../../photos/open.ts'
import { sqliteVersion } from '../../rack/opening/connection.ts'
import { appVersion } from '../context.ts'
import type { Handlers } from '../dispatch.ts'
import { giveUpPictures, locatePicture } from '../pictures.ts'

/** The service itself, its jobs, this computer's settings, and files for the host. */
export const appHandlers = {
  'service.describe': async () => ({
    version: appVersion(),
    node: process.version,
    sqlite: sqliteVersion(),
    sharp: sharp.versions.sharp ?? '',
    pid: process.pid,
  }),
  'service.ping': async () => ({ inspected: inspectorAddress() !== undefined }),
  // a service that can be asked this is running
  'service.startAgain': async (_, { current }) => ({ rackReopened: current.get() !== null }),
  'app.reportError': async (report, { log }) => ({ reference: mayReport() ? log.report(report) : null }),
  'jobs.list': async (_, { jobs }) => ({ jobs: jobs.list() }),
  'jobs.cancel': async ({ jobId }, { jobs }) => {
    jobs.cancel(jobId)
    return {}
  },
  'settings.get': async (_, { appFiles }) => ({ settings: appFiles.settings() }),
  'settings.save': async ({ settings }, { appFiles, emit }) => {
    await appFiles.saveSettings(settings)
    emit({ name: 'settings.changed', data: {} })
    return { settings }
  },
  'pictures.locate': async ({ key }, context) => locatePicture(context.rack(), key),
  'pictures.giveUp': async ({ keys }, context) => {
    giveUpPictures(context.rack(), keys)
    return {}
  },
  'documents.locate': async ({ documentId }, { documents }) => documents.locate(documentId),
} satisfies Partial<Handlers>

const reportsPerMinute = 20
let minute = 0
let reports = 0

/** A page that draws the same fault in every frame must not fill the log. */
function mayReport(): boolean {
  const now = Math.floor(performance.now() / 60_000)
  if (now !== minute) reports = 0
  minute = now
  return ++reports <= reportsPerMinute
}

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

import { writeFile } from 'node:fs/promises'
import { writeModel } from '../../../shared-core/exchange/panels-csv/write-table.ts'
import type { Handlers } from '../dispatch.ts'
import { previewNotebook } from '../notebook/preview.ts'
import { startTaking } from '../notebook/take-in.ts'

/** Panels from a notebook that was typed up as a table. */
export const panelsCsvHandlers = {
  'panelsCsv.preview': async (input, context) => previewNotebook(context.rack(), context.appFiles.folder, input),
  'panelsCsv.import': async (input, context) => ({ jobId: await startTaking(context, input) }),
  'panelsCsv.writeModel': async ({ decimal }, context) => {
    const fileName = 'panels-model.csv'
    const documentId = await context.documents.add(fileName, (path) => writeFile(path, writeModel(decimal), 'utf8'))
    return { documentId, fileName }
  },
} satisfies Partial<Handlers>

import { writeFile } from 'node:fs/promises'
import type { Handlers } from '../dispatch.ts'
import { exportReadings } from '../export-readings.ts'
import { inspectFile, takeReadings } from '../instrument-readings.ts'
import { dropStaged } from '../link/app-folder.ts'

/** Readings from and to files of instruments. */
export const exchangeHandlers = {
  'exchange.inspect': async (input) => inspectFile(input),
  'exchange.take': async (input, context) => {
    const taken = await takeReadings(context.rack(), input)
    // a file that was handed over as bytes has served; one that is only looked at is swept with the day
    await dropStaged(context.appFiles.folder, input.path)
    return taken
  },
  'exchange.export': async (input, context) => {
    const { text, fileName, ...counts } = await exportReadings(context.rack(), input)
    const documentId = await context.documents.add(fileName, (path) => writeFile(path, text, 'utf8'))
    return { documentId, fileName, ...counts }
  },
} satisfies Partial<Handlers>

import { noNotebookAnswers, usualNotebookChoices } from '../../../../shared-core/records/notebook.ts'
import type { Fate, FuzzTarget, Service } from '../target.ts'
import { harmedText, notebookSeeds, tableWords } from './texts.ts'

const answered = {
  ...noNotebookAnswers,
  basis: 'volume',
  carrier: 'to-one-of-blend',
  coats: 2,
  dates: 'day-first',
  decimal: 'point',
}

async function preview(service: Service, bytes: Uint8Array, i: number): Promise<Fate> {
  const answers = i % 2 ? noNotebookAnswers : answered
  const wanted = {
    path: service.file('n.csv', bytes),
    name: 'n.csv',
    columns: null,
    answers,
    choices: usualNotebookChoices,
  }
  const seen = await service.call('panelsCsv.preview', wanted)
  if (!seen.ok) {
    if (seen.code === 'service/bad-input') throw new TypeError(seen.message)
    return 'refused'
  }
  const { digest, columns } = seen.value as { digest: string; columns: { use: string }[] }
  // some are taken in, and out again
  if (i % 4 === 0) {
    const begun = await service.call('panelsCsv.import', { ...wanted, columns: columns.map(({ use }) => use), digest })
    if (begun.ok) {
      await service.ended((begun.value as { jobId: string }).jobId)
      await service.call('panels.list', { filter: {}, sort: 'code', limit: 20 })
      await service.call('history.undo', {})
    }
  }
  return 'taken'
}

/** A notebook of panels as a table. */
export const notebook: FuzzTarget<Uint8Array> = {
  name: 'notebook',
  mostMb: 900,
  make: (random) => harmedText(notebookSeeds, tableWords, random),
  run: (bytes, service, i) => preview(service, bytes, i),
  keep: (bytes) => bytes,
}

import { type JobFacts, jobSheetBlocks } from '../../shared-core/label/job-sheet/lines.ts'
import { layOutPaper } from '../../shared-core/label/paper/lay-out.ts'
import type { CustomerJob } from '../../shared-core/records/customer-job.ts'
import type { PaperSize, SheetPage } from '../../shared-core/records/sheet.ts'
import { measureText } from './fonts.ts'
import { qrRows } from './qr.ts'

const foot = ['A prediction is not a panel: spray a check panel. Data sheets and local rules come first.']

export async function layOutJobSheet(job: CustomerJob, facts: JobFacts, paper: PaperSize): Promise<SheetPage[]> {
  const rows = await qrRows(job.code)
  const head = { kind: 'Job sheet', code: job.code, title: job.title }
  return layOutPaper(head, jobSheetBlocks(job, facts), foot, paper, measureText, () => rows)
}

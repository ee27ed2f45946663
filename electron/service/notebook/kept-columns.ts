import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'
import { ColumnUse, NotebookAnswers } from '../../../shared-core/records/notebook.ts'
import { writeDurably } from '../../rack/disk/durable.ts'

const Kept = z.array(z.object({ signature: z.string(), columns: z.array(ColumnUse), answers: NotebookAnswers }))
type Kept = z.infer<typeof Kept>
const mostKept = 40

const pathIn = (appFolder: string): string => join(appFolder, 'notebook-columns.json')

/** What columns were chosen for the last table with these headings, on this computer. */
export async function keptColumns(appFolder: string, signature: string): Promise<Kept[number] | null> {
  return (await readKept(appFolder)).find((each) => each.signature === signature) ?? null
}

export async function keepColumns(appFolder: string, kept: Kept[number]): Promise<void> {
  const others = (await readKept(appFolder)).filter(({ signature }) => signature !== kept.signature)
  const text = JSON.stringify([kept, ...others].slice(0, mostKept), null, 2)
  await writeDurably(pathIn(appFolder), (handle) => handle.writeFile(`${text}\n`))
}

/** A convenience: what cannot be read is proposed anew. */
async function readKept(appFolder: string): Promise<Kept> {
  const text = await readFile(pathIn(appFolder), 'utf8').catch(() => '[]')
  try {
    return Kept.parse(JSON.parse(text))
  } catch {
    return []
  }
}

import { BrowserWindow } from 'electron'
import type { PrintInput, Reply } from '../../shared-core/contract/host.ts'
import type { PaperSize } from '../../shared-core/records/sheet.ts'
import { pagePreferences } from './lock-down.ts'
import { pageOrigin, preloadFile } from './places.ts'

/** The print page must have drawn its pages within this time. */
const drawMs = 30_000
const micronsPerMm = 1000

type Printing = { input: PrintInput; ready(): void }

/** Prints labels, sheets and cards: a hidden window draws them at their real size, then the system's dialog takes over. */
export function labelPrinter() {
  /** By the id of the hidden window's contents, so that no other page can ask for them. */
  const printing = new Map<number, Printing>()
  let count = 0

  async function print(input: PrintInput, size: PaperSize): Promise<Reply<{ printed: boolean }>> {
    const window = new BrowserWindow({ show: false, webPreferences: pagePreferences(preloadFile) })
    const { webContents } = window
    const { id } = webContents
    try {
      const drawn = new Promise<boolean>((resolve) => {
        printing.set(id, { input, ready: () => resolve(true) })
        webContents.once('render-process-gone', () => resolve(false))
        setTimeout(() => resolve(false), drawMs).unref()
      })
      await window.loadURL(`${pageOrigin}/print-labels#${++count}`)
      if (!(await drawn)) return notPrinted('The pages were not drawn in time.')
      const reason = await new Promise<string | undefined>((resolve) => {
        webContents.print(
          {
            silent: false,
            printBackground: true,
            margins: { marginType: 'none' },
            pageSize: {
              width: Math.round(size.widthMm * micronsPerMm),
              height: Math.round(size.heightMm * micronsPerMm),
            },
          },
          (printed, failure) => resolve(printed ? undefined : failure),
        )
      })
      if (reason === undefined) return { ok: true, value: { printed: true } }
      return /cancel/i.test(reason)
        ? { ok: true, value: { printed: false } }
        : notPrinted(`The printer says: ${reason}.`)
    } catch (error) {
      return notPrinted(`The pages could not be printed (${(error as Error).message}).`)
    } finally {
      printing.delete(id)
      if (!window.isDestroyed()) window.destroy()
    }
  }

  return {
    print,
    inputFor: (contentsId: number) => printing.get(contentsId)?.input ?? null,
    ready: (contentsId: number) => printing.get(contentsId)?.ready(),
  }
}

const notPrinted = (message: string): Reply<never> => ({
  ok: false,
  error: { code: 'print/failed', message, remedy: 'Look at the printer and try again, or save them as a PDF.' },
})

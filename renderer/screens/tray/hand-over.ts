import { client } from '../../client/client.ts'
import { canChange } from '../../parts/change-only.tsx'
import { act } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'
import { useDesk } from './desk-state.ts'
import { type Dropped, droppedFiles } from './dropped-files.ts'

/** In a browser each file is sent; a few at once keep the connection busy. */
const atOnce = 4
/** As many as one call takes. */
const mostPerIntake = 5000
const toldEveryMs = 100

/** Counts hand-overs, so that stopping one does not stop the next. */
let turn = 0

/** Nothing more is handed over; what was handed over before is taken in, and that job can be stopped by itself. */
export function stopHandingOver(): void {
  turn++
}

/** What was dropped on the place; folders are looked into. To be called while the drop is handled. */
export async function takeInDropped(transfer: DataTransfer): Promise<void> {
  if (!canChange()) return
  const mine = ++turn
  const dropped = await droppedFiles(transfer, (done) => useDesk.setState({ handing: { done, total: null } }))
  useDesk.setState({ handing: null })
  if (mine !== turn) return
  sayLeftOut(dropped)
  await takeInFiles(dropped.files)
}

/** Hands files to the service and starts their intake. */
export async function takeInFiles(list: Iterable<File>): Promise<void> {
  const chosen = [...list]
  if (chosen.length === 0 || !canChange()) return
  const mine = ++turn
  const goesOn = () => mine === turn
  const handed: ({ path: string; name: string } | null)[] = []
  const lost: string[] = []
  let [next, done, told] = [0, 0, Number.NEGATIVE_INFINITY]
  const tell = () => {
    if (chosen.length === 1 || performance.now() - told < toldEveryMs) return
    told = performance.now()
    useDesk.setState({ handing: { done, total: chosen.length } })
  }
  const worker = async () => {
    while (next < chosen.length && goesOn()) {
      const at = next++
      const file = chosen[at]
      if (!file) break
      tell()
      try {
        handed[at] = { path: await client().stage(file), name: nameFor(file) }
      } catch {
        lost.push(file.name)
      }
      done++
    }
  }
  try {
    await Promise.all(Array.from({ length: atOnce }, worker))
  } finally {
    useDesk.setState({ handing: null })
  }
  const { warn, say } = useStore.getState()
  if (lost.length > 0)
    warn({
      message: `${lost.length === 1 ? lost[0]! : `${lost.length} files`} could not be read.`,
      remedy: 'Copy the file to this computer first, then choose it again.',
    })
  if (done < chosen.length)
    say(`Stopped: ${done} of ${chosen.length} files were handed over.`, 'Choose the rest again when you want them.')
  const files = handed.filter((file) => file !== null && file !== undefined)
  for (let at = 0; at < files.length; at += mostPerIntake)
    await act('photos.takeIn', { files: files.slice(at, at + mostPerIntake) })
}

function sayLeftOut({ files, leftOut, unread }: Dropped): void {
  const { say, warn } = useStore.getState()
  const hidden =
    leftOut === 1 ? '1 hidden or system file was left out.' : `${leftOut} hidden or system files were left out.`
  if (unread.length > 0)
    warn({
      message: `${unread.length === 1 ? unread[0]! : `${unread.length} folders or files`} could not be looked into.`,
      remedy: 'Copy it to this computer first, then drop it again.',
    })
  else if (files.length === 0) say('There is no file in what was dropped.', leftOut > 0 ? hidden : '')
  else if (leftOut > 0) say(hidden)
}

/** A picture from the clipboard has no name of its own. */
function nameFor(file: File): string {
  if (file.name !== 'image.png') return file.name
  return `Pasted ${new Date().toLocaleString(undefined, { dateStyle: 'short', timeStyle: 'medium' })}.png`
}

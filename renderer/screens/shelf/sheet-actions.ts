import { client } from '../../client/client.ts'
import { act } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'

/** Keeps a chosen or dropped file as a material's data sheet. */
export async function attachSheet(materialId: string, file: File): Promise<void> {
  const { warn } = useStore.getState()
  // what is too large is said before it is carried over; the service looks again
  if (file.size > 40 * 1024 * 1024) {
    return warn({
      message: `${file.name} is larger than 40 MB.`,
      remedy: 'Save it smaller, or keep it elsewhere and type its link.',
    })
  }
  let path: string
  try {
    path = await client().stage(file)
  } catch {
    return warn({ message: `${file.name} could not be handed over.`, remedy: 'Try again, or choose another file.' })
  }
  await act('shelf.attachDataSheet', { materialId, path })
}

/** Shows a kept data sheet in the reader of the system or of the browser. */
export async function openSheet(materialId: string): Promise<void> {
  const found = await act('shelf.openDataSheet', { materialId })
  if (!found) return
  const failure = await client().viewDocument(found.documentId)
  if (failure) useStore.getState().warn(failure)
}

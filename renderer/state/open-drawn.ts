import { client } from '../client/client.ts'
import { useStore } from './store.ts'

/** Opens or saves what was drawn; trouble is told as a notice. @param onOpen it is open, or kept */
export async function openDrawn(
  { documentId, fileName }: { documentId: string; fileName: string },
  onOpen: () => void = () => undefined,
): Promise<void> {
  const trouble = await client().openDocument(documentId, fileName)
  if (trouble) useStore.getState().warn(trouble)
  else onOpen()
}

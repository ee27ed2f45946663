import type { Output } from '../../../shared-core/contract/calls.ts'
import type { Reply } from '../../../shared-core/contract/host.ts'
import { confined, type FoundFile } from './files.ts'

export type Call = (name: string, input: unknown) => Promise<Reply>
type Sent<T> = FoundFile & T
const absent = (message: string, remedy: string): Reply<never> => ({
  ok: false,
  error: { code: 'host/not-inside', message, remedy },
})

/** The file behind a picture's key. The host trusts neither the page's key nor the path that comes back. */
export async function locatePicture(call: Call, key: string): Promise<Reply<Sent<{ type: string }>>> {
  const reply = await call('pictures.locate', { key })
  if (!reply.ok) return reply
  const { path, type, inside } = reply.value as Output<'pictures.locate'>
  const file = await confined(inside, path)
  // pictures of the application are bitmaps: anything else would be run or drawn as something else
  if (!file || !/^image\/(jpeg|png|webp|avif)$/.test(type))
    return absent('This picture is not in the rack.', 'Close the rack and open it again.')
  return { ok: true, value: { ...file, type } }
}

/** The file of a drawn or written document. */
export async function locateDocument(call: Call, documentId: string): Promise<Reply<Sent<{ fileName: string }>>> {
  const reply = await call('documents.locate', { documentId })
  if (!reply.ok) return reply
  const { path, fileName, inside } = reply.value as Output<'documents.locate'>
  const file = await confined(inside, path)
  if (!file) return absent('This document is no longer there.', 'Make it again.')
  return { ok: true, value: { ...file, fileName } }
}

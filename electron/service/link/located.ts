import type { Event, Output } from '../../../shared-core/contract/calls.ts'
import type { Reply } from '../../../shared-core/contract/host.ts'
import { confined, type FoundFile } from './files.ts'
import { pictureFile, readKey } from './picture-files.ts'

export type Call = (name: string, input: unknown) => Promise<Reply>
type Sent<T> = FoundFile & T
const absent = (message: string, remedy: string): Reply<never> => ({
  ok: false,
  error: { code: 'host/not-inside', message, remedy },
})

/** Pictures of the open rack, for a host. */
export type PictureLocator = {
  /**
   * The file behind a picture's key. The host trusts neither the page's key nor the path that comes back.
   * @param signal  the page no longer wants it: what has not been begun is then not made
   */
  locate(key: string, signal?: AbortSignal): Promise<Reply<Sent<{ type: string }>>>
  /** To be told of the service's events. */
  hear(event: Event): void
}

/**
 * A picture that was made before is found without asking the service: its name among the renditions follows from its key, and
 * a wall shows thousands. Only where they lie is the service's to say, once for each rack.
 */
export function pictureLocator(call: Call): PictureLocator {
  let inside: string | null = null
  let rack = 0
  return {
    async locate(key, signal) {
      const picture = readKey(key)
      if (picture && inside !== null) {
        const file = await confined(inside, pictureFile(inside, picture))
        // an empty one was cut off by a power cut: the service makes it again
        if (file && file.size > 0) return { ok: true, value: { ...file, type: 'image/webp' } }
      }
      if (signal?.aborted) return noLongerWanted
      const giveUp = () => void call('pictures.giveUp', { keys: [key] })
      signal?.addEventListener('abort', giveUp, { once: true })
      const asked = rack
      const reply = await call('pictures.locate', { key })
      signal?.removeEventListener('abort', giveUp)
      if (!reply.ok) return reply
      const located = reply.value as Output<'pictures.locate'>
      const file = await confined(located.inside, located.path)
      // pictures of the application are bitmaps: anything else would be run or drawn as something else
      if (!file || !/^image\/(jpeg|png|webp|avif)$/.test(located.type))
        return absent('This picture is not in the rack.', 'Close the rack and open it again.')
      if (asked === rack) inside = located.inside
      return { ok: true, value: { ...file, type: located.type } }
    },
    hear({ name }) {
      if (name !== 'rack.opened' && name !== 'rack.closed' && name !== 'service.restarted') return
      rack++
      inside = null
    },
  }
}

const noLongerWanted: Reply<never> = {
  ok: false,
  error: { code: 'picture/given-up', message: 'The picture was no longer wanted.', remedy: 'Ask for it again.' },
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

import { parentPort } from 'node:worker_threads'
import type { PhotoPlan } from './plan.ts'
import { renderPhoto } from './render-photo.ts'

/** Draws photos beside the service's own thread: a plan in, a picture out, one at a time. */
const port = parentPort
if (!port) throw new Error('The renderer runs as a worker.')
port.on('message', (plan: PhotoPlan) => {
  const photo = renderPhoto(plan)
  port.postMessage(photo, [photo.pixels.buffer as ArrayBuffer])
})

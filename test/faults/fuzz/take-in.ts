import type { Fate, Service } from './target.ts'

/** Every so many a photo that was taken is also looked at as a painter would: its large picture, its points, its areas. */
const lookEvery = 4

/**
 * A file on its way into the tray, as a drop on the window takes it; then, now and then, what a place of the
 * application does with the photo. Fates of the file, whatever comes after.
 */
export async function takeIn(service: Service, name: string, bytes: Uint8Array | string, i: number): Promise<Fate> {
  const path = service.file(name, bytes)
  const answer = await service.call('photos.takeIn', { files: [{ path, name }] })
  if (!answer.ok) return 'refused'
  const { items } = await service.ended((answer.value as { jobId: string }).jobId)
  const [item] = items
  if (item?.fate === 'duplicate') return 'taken'
  if (item?.fate !== 'taken' || item.photoId === null) return 'refused'
  if (i % lookEvery === 0) await lookAt(service, item.photoId)
  return 'taken'
}

async function lookAt(service: Service, photoId: string): Promise<void> {
  const found = await service.call('photos.get', { photoId })
  if (!found.ok) return
  const { photo } = found.value as { photo: { sha256: string; width: number; height: number } }
  const [w, h] = [photo.width, photo.height]
  const quad = (l: number, t: number, r: number, b: number) => [
    [w * l, h * t],
    [w * r, h * t],
    [w * r, h * b],
    [w * l, h * b],
  ]
  const area = { stepId: null, shape: { kind: 'quad', quad: quad(0.1, 0.1, 0.5, 0.9) } }
  const layout = { areas: [area], card: { quad: quad(0.6, 0.1, 0.9, 0.9), lab: { l: 50, a: 0, b: 0 } } }
  await service.call('pictures.locate', { key: `photo/${photo.sha256}/full` })
  const read = await service.call('photos.read', { photoId, layout, setupId: null, flatPhotoId: null })
  if (!read.ok && read.code === 'service/bad-input') throw new TypeError(read.message)
}

import type { Grey } from '../../../../../shared-core/find/snap.ts'
import { client } from '../../../../client/client.ts'

/** The shades of the photo that was asked for last; null while they come, and where its picture cannot be had. */
let kept: { sha: string; grey: Grey | null } | null = null

/** Shades of the picture that the desk shows. The first ask starts the fetching; nothing waits for it. */
export function greyOf(sha: string): Grey | null {
  if (kept?.sha !== sha) {
    const mine: { sha: string; grey: Grey | null } = { sha, grey: null }
    kept = mine
    const image = new Image()
    image.addEventListener('load', () => {
      mine.grey = shadesOf(image)
    })
    image.src = client().pictureUrl(`photo/${sha}/view`)
  }
  return kept.grey
}

function shadesOf(image: HTMLImageElement): Grey | null {
  const { naturalWidth: width, naturalHeight: height } = image
  const canvas = document.createElement('canvas')
  canvas.width = width
  canvas.height = height
  const context = canvas.getContext('2d', { willReadFrequently: true })
  if (!context || width === 0) return null
  context.drawImage(image, 0, 0)
  try {
    const { data: rgba } = context.getImageData(0, 0, width, height)
    const data = new Uint8Array(width * height)
    // green counts most in how light a paint looks; exact weights play no part in where its edge lies
    for (let i = 0; i < data.length; i++) data[i] = (rgba[4 * i]! + 2 * rgba[4 * i + 1]! + rgba[4 * i + 2]!) >> 2
    return { width, height, data }
  } catch {
    return null // no room for so many shades: what was found still snaps
  }
}

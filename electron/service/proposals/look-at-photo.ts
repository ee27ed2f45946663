import { stat } from 'node:fs/promises'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { brightestOf, coloursAlong } from '../../../shared-core/find/filing/colours-along.ts'
import { windowOf } from '../../../shared-core/find/filing/decide.ts'
import { fingerprintOf } from '../../../shared-core/find/filing/fingerprint.ts'
import { sheetQuad } from '../../../shared-core/find/sheet/sheet-quad.ts'
import type { Quad } from '../../../shared-core/records/area.ts'
import type { PhotoFormat } from '../../../shared-core/records/photo.ts'
import type { Found } from '../../../shared-core/records/proposal.ts'
import { smallPixels } from '../../photos/small-pixels.ts'
import { originalPath } from '../../rack/disk/photo-store.ts'
import type { Rack } from '../../rack/opening/open.ts'
import type { Seen } from '../../rack/queries/proposals/looks.ts'
import { locatePicture } from '../pictures.ts'

/**
 * Looks at the original of a photo for all that can be found in it.
 * @throws Refusal photo/… when it cannot be read; whatever else is thrown ended in the middle of it
 */
export type LookAt = (path: string, signal: AbortSignal) => Promise<Found>

export type ToLook = { sha256: string; format: string; name: string; width: number; height: number }

/** Outlines whose colours are looked at: the likeliest. */
const mostOutlines = 4

/**
 * All that is kept of looking at a photo but for its twins: what was found in the original, and what the small picture says.
 * @throws Refusal `photo/original-missing`, or whatever else the photo is refused for
 */
export async function lookAtPhoto(
  rack: Rack,
  photo: ToLook,
  lookAt: (path: string) => Promise<Found>,
): Promise<Omit<Seen, 'alikeId' | 'laterIds'>> {
  const path = originalPath(rack.folder, photo.sha256, photo.format as PhotoFormat)
  if (!(await stat(path).catch(() => null))) throw originalMissing(photo.name)
  const found = await lookAt(path)
  const thumb = await locatePicture(rack, `photo/${photo.sha256}/thumb`)
  const pixels = await smallPixels(thumb.path)
  const along = outlinesIn(found).flatMap((quad) => coloursAlong(pixels, quad, photo) ?? [])
  return { found, small: { along, brightest: brightestOf(pixels) }, fingerprint: fingerprintOf(pixels) }
}

function outlinesIn({ panels, sheet }: Found): Quad[] {
  const window = sheet && windowOf(sheet.print)
  const quads = panels.map(({ quad }) => quad)
  return (sheet && window ? [sheetQuad(sheet, window), ...quads] : quads).slice(0, mostOutlines)
}

export const originalMissing = (name: string) =>
  new Refusal(
    'photo/original-missing',
    `The original of ${name} is missing from the rack’s folder.`,
    'Give the card or backup that still has it under “Check and repair”, or take the photo in again: it is recognised by its content.',
  )

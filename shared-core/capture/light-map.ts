import { decodeTable, type RgbProfile } from '../colour/profile.ts'
import type { Point, Quad } from '../records/area.ts'
import type { Caution } from '../records/photo.ts'
import { type Camera, redoTone, undoTone } from './camera/model.ts'
import { untonedTables } from './camera/tables.ts'
import { flatAt, flatFieldOf, flatSuits } from './flat-field.ts'
import { lightFieldOf } from './light-field.ts'
import type { Pixels, Triple } from './pixels.ts'
import type { Survey } from './surroundings.ts'
import { words } from './words.ts'

/** A photo of a blank sheet, as small as one likes: only its slow changes count. */
export type BlankSheet = { pixels: Pixels; profile: RgbProfile }

/** How the light falls off over a photo. */
export type LightMap = {
  from: 'blank-sheet' | 'surroundings' | 'sheet'
  camera: Pick<Camera, 'contrast' | 'power'>
  /** Multiplies light before the tone curve so that it is what it would be in the middle of the photo. */
  factor: (place: Point) => Triple
}

/** The fall-off by a blank sheet, or else by surroundings that are of one colour; null where neither tells. */
export function lightOver(
  size: Pick<Pixels, 'width' | 'height'>,
  camera: Camera,
  { survey, flat, outlines }: { survey: Survey; flat: BlankSheet | null; outlines: Quad[] },
  cautions: Caution[],
): LightMap | null {
  if (flat) {
    const tables = untonedTables(decodeTable(flat.profile, flat.pixels.bits), camera)
    const field = flatFieldOf(flat.pixels, flat.profile, tables)
    if ('refused' in field) cautions.push(field.refused)
    else if (!flatSuits(field, size)) cautions.push(words.flatOtherWay)
    else return { from: 'blank-sheet', camera, factor: ([x, y]) => flatAt(field, x / size.width, y / size.height) }
  }
  const field = lightFieldOf(survey, size, outlines, camera)
  if (!field) return null
  return {
    from: 'surroundings',
    camera,
    factor: (place) => {
      const less = Math.exp(-field.at(place))
      return [less, less, less]
    },
  }
}

/** A file's light at a place as it would be in the middle of the photo. */
export function evenLight(light: Triple, place: Point, { camera, factor }: LightMap): Triple {
  const by = factor(place)
  const even = (c: 0 | 1 | 2) => redoTone(undoTone(light[c], camera) * by[c], camera)
  return [even(0), even(1), even(2)]
}

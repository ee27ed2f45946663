import type { DecodeTables } from '../../colour/profile.ts'
import { type Camera, undoTone } from './model.ts'

/** Light before the camera's tone curve for every number of a file. */
export type ToneTables = DecodeTables

/** Points between which a 16-bit table is drawn straight: the curve is smooth. */
const nodes = 2048

export function untonedTables(tables: DecodeTables, camera: Pick<Camera, 'contrast' | 'power'>): ToneTables {
  if (camera.contrast === 0 && camera.power === 0) return tables
  const done = new Map<Float64Array, Float64Array>()
  const undone = (table: Float64Array): Float64Array => {
    const kept = done.get(table)
    if (kept) return kept
    const made = table.length <= nodes ? table.map((light) => undoTone(light, camera)) : throughNodes(table, camera)
    done.set(table, made)
    return made
  }
  return [undone(tables[0]), undone(tables[1]), undone(tables[2])]
}

/** Nodes lie evenly in the square root of the light, closest where the eye is keenest. */
function throughNodes(table: Float64Array, camera: Pick<Camera, 'contrast' | 'power'>): Float64Array {
  const curve = Float64Array.from({ length: nodes + 1 }, (_, i) => undoTone((i / nodes) ** 2, camera))
  return table.map((light) => {
    const at = Math.sqrt(Math.min(1, Math.max(0, light))) * nodes
    const below = Math.min(nodes - 1, Math.floor(at))
    return curve[below]! + (curve[below + 1]! - curve[below]!) * (at - below)
  })
}

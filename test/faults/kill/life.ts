import type { Random } from '../fuzz/random.ts'
import type { PhotoFile } from '../kit/many-photos.ts'
import { type Act, type Panels, Shop } from '../kit/shop.ts'
import type { Place } from '../kit/shop-service.ts'
import type { ServiceProcess } from '../service-process.ts'

/** A rack that is killed over and over, and what it has promised. */
export type Life = {
  place: Place
  random: Random
  photos: (count: number, kilobytes?: number) => PhotoFile[]
  shop: Shop
  service: ServiceProcess
  /** What was asked and not answered when the service was killed. */
  pending: Act | null
  /** Photos that have to be in the tray. */
  tray: Set<string>
  intake: Intake | null
  /** A backup that was whole, and the panels in it. */
  backup: { file: string; panels: Panels; tray: Set<string> } | null
  restoring: boolean
  /** Another rack, and the panels in it. */
  merging: { folder: string; ids: Set<string> } | null
  /** Where lost originals are found again. */
  relinking: string | null
  /** Its database was cut, and nothing was changed since it was backed up. */
  repairing: boolean
}

/** Photos that were handed over. `promised`: the intake itself was acknowledged; `undoing`: it is being undone and done again. */
export type Intake = { files: PhotoFile[]; promised: boolean; undoing: boolean }

export const newLife = (place: Place, random: Random, photos: Life['photos'], service: ServiceProcess): Life => ({
  place,
  random,
  photos,
  shop: new Shop(random),
  service,
  pending: null,
  tray: new Set(),
  intake: null,
  backup: null,
  restoring: false,
  merging: null,
  relinking: null,
  repairing: false,
})

/** One thing that a painter does, taken down before and after. */
export async function act(life: Life, most = 40): Promise<void> {
  const next = life.shop.next(most)
  life.pending = next
  await life.shop.perform(next, life.service.call)
  life.pending = null
}

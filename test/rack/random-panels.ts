import type { Rack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { addReading } from '../../electron/rack/queries/readings.ts'
import { typedReading } from '../../electron/service/typed-colour.ts'
import { draft } from './fresh.ts'
import { candyMixture, layer } from './layers-typed.ts'

/** What one random panel is made from: small numbers, so that fast-check can shrink it. */
export type Sown = {
  code: number
  ground: number
  candy: number
  day: number
  lab: { l: number; a: number; b: number } | null
  status: number
  tags: number
}

export const grounds = ['', 'Écru', 'bright gold', 'Bright silver', 'charcoal', 'ground 2', 'ground 10']
export const dyes = ['', 'Damson', 'ember', 'Ümber', 'Tidewater']
export const tags = ['Boat', 'bicycle', 'dull', 'tank']
const codes = ['P-', 'p-0', 'Q ', 'café ']

/** Panels with as much as ordering and filters look at; each code once. */
export async function sow(rack: Rack, panels: readonly Sown[]): Promise<string[]> {
  return rack.change({ label: 'sow' }, async (change) => {
    const ids: string[] = []
    for (const [i, sown] of panels.entries()) {
      const ground = grounds[sown.ground % grounds.length] ?? ''
      const dye = dyes[sown.candy % dyes.length] ?? ''
      const id = await savePanel(
        change,
        draft({
          code: `${codes[sown.code % codes.length]}${(sown.code * 7) % 13}.${i}`,
          title: `Panel ${i}`,
          status: (['sprayed', 'planned', 'retired'] as const)[sown.status % 3] ?? 'sprayed',
          sprayedOn: sown.day === 0 ? null : `20${10 + (sown.day % 3)}-0${1 + (sown.day % 4)}-1${sown.day % 5}`,
          tags: tags.filter((_, bit) => (sown.tags >> bit) % 2 === 1),
          layers: [
            ...(ground === '' ? [] : [layer('ground', ground)]),
            layer('candy', '', { coats: 4, mixture: dye === '' ? null : candyMixture(dye, 'smoke') }),
          ],
        }),
      )
      ids.push(id)
      if (!sown.lab) continue
      const steps = await change.db.selectFrom('step').selectAll().where('panel_id', '=', id).execute()
      for (const step of steps) {
        const deepest = step.coats === 4
        const lab = deepest ? sown.lab : { l: 3, a: 3, b: -3 }
        await addReading(change, typedReading({ ...typed, lab }, { stepId: step.id }))
        // a wet one that is newer, and one under another light's name: neither is what hangs on the wall
        await addReading(
          change,
          typedReading({ ...typed, stage: 'wet', lab: { l: 1, a: 1, b: 1 } }, { stepId: step.id }),
        )
        await addReading(
          change,
          typedReading({ ...typed, illuminant: 'A', lab: { l: 2, a: 50, b: 2 } }, { stepId: step.id }),
        )
      }
    }
    return ids
  })
}

const typed = {
  illuminant: 'D50' as const,
  observer: '2' as const,
  geometry: '45:0' as const,
  bound90: 1,
  view: 'face' as const,
  stage: 'dry' as const,
  lightId: null,
}

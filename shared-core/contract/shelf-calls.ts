import { z } from 'zod'
import { Replacement, StockMove } from '../records/cup.ts'
import { Basis, Material } from '../records/mixture.ts'
import { command, query } from './call.ts'

/** What can still be mixed of one formula on the rack. */
const StillMixed = z.object({
  panelId: z.string(),
  code: z.string(),
  title: z.string(),
  /** Ready to spray, from what is on hand; null: nothing in it was ever counted. */
  volumeMl: z.number().nonnegative().nullable(),
  /** What runs out first; null: nothing is known to run out. */
  limitedBy: z.string().nullable(),
  /** Names of what it needs that is off the shelf, or of which nothing is left. */
  missing: z.array(z.string()),
  /** Names of what nobody counted, or whose density is wanting: it may be less. */
  notCounted: z.array(z.string()),
})

/** What formulas are made with: how much there is of it, and what becomes of it. */
export const shelfCalls = {
  /** Adds a material, or changes one. What is on hand changes by `shelf.count` only, its data sheet by `shelf.attachDataSheet`. */
  'shelf.save': command({
    input: z.object({
      material: Material.extend({ id: z.string().nullable() }).omit({
        onHand: true,
        dataSheetFile: true,
        replacedById: true,
      }),
    }),
    output: z.object({ material: Material }),
    errors: ['material/absent', 'material/name-taken'],
  }),
  /** Removes a material that nothing needs. `material/needed` names the panels, cups and jobs that do. */
  'shelf.remove': command({
    input: z.object({ materialId: z.string() }),
    output: z.object({}),
    errors: ['material/absent', 'material/needed'],
  }),
  /**
   * Says what is on hand. `counted`: that is all there is; `bought` is added to it; `thrown-away` is taken from it. Null
   * forgets the count. Another basis than before needs a density, unless it was counted.
   */
  'shelf.count': command({
    input: z.object({
      materialId: z.string(),
      onHand: z.object({ amount: z.number().min(0).max(1_000_000), basis: Basis }).nullable(),
      how: z.enum(['counted', 'bought', 'thrown-away']),
      batch: z.string().max(120),
    }),
    output: z.object({ material: Material }),
    errors: ['material/absent', 'mix/no-density'],
  }),
  /** Panels, cups, moves and replacements of one material, the newest first. */
  'shelf.history': query({
    input: z.object({ materialId: z.string() }),
    output: z.object({
      moves: z.array(StockMove),
      panels: z.array(z.object({ panelId: z.string(), code: z.string(), title: z.string() })),
      cups: z.array(z.object({ cupId: z.string(), code: z.string(), title: z.string(), startedAt: z.string() })),
      jobs: z.array(z.object({ customerJobId: z.string(), code: z.string(), title: z.string() })),
      replacements: z.array(Replacement),
    }),
    errors: ['material/absent'],
  }),
  /** What can still be mixed, the most first; of formulas of panels in the rack. */
  'shelf.listMixable': query({
    input: z.object({}),
    output: z.object({ formulas: z.array(StillMixed) }),
    errors: [],
  }),
  /** Where a replacement would be made: planned panels and open jobs. What was sprayed stays as it was. */
  'shelf.previewReplace': query({
    input: z.object({ materialId: z.string() }),
    output: z.object({
      panels: z.array(z.object({ panelId: z.string(), code: z.string(), title: z.string() })),
      jobs: z.array(z.object({ customerJobId: z.string(), code: z.string(), title: z.string() })),
      sprayedPanelCount: z.int().nonnegative(),
    }),
    errors: ['material/absent'],
  }),
  /** Puts one material in another's place where `shelf.previewReplace` says, and keeps a trail of it. */
  'shelf.replace': command({
    input: z.object({ materialId: z.string(), byMaterialId: z.string() }),
    output: z.object({ replacement: Replacement }),
    errors: ['material/absent', 'material/same', 'material/other-kind'],
  }),
  /** Keeps a data sheet's file in the rack: PDF, JPEG or PNG, from a staged upload or a path, as photos come in. */
  'shelf.attachDataSheet': command({
    input: z.object({ materialId: z.string(), path: z.string().max(4000) }),
    output: z.object({ material: Material }),
    errors: ['material/absent', 'file/unreadable', 'file/too-large', 'file/other-kind'],
  }),
  'shelf.detachDataSheet': command({
    input: z.object({ materialId: z.string() }),
    output: z.object({ material: Material }),
    errors: ['material/absent'],
  }),
  /** `documentId` is fetched from the host. */
  'shelf.openDataSheet': query({
    input: z.object({ materialId: z.string() }),
    output: z.object({ documentId: z.string(), fileName: z.string() }),
    errors: ['material/absent', 'file/unreadable'],
  }),
}

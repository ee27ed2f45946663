import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { CustomerJob, JobFormula } from '../../../shared-core/records/customer-job.ts'
import type { Layer, PanelDraft } from '../../../shared-core/records/panel.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { readPanel } from '../../rack/queries/panel-read.ts'

/** @throws Refusal `customer-job/no-formula` */
export function mustHaveFormula({ formula, code }: CustomerJob): JobFormula {
  if (formula) return formula
  throw new Refusal('customer-job/no-formula', `Job ${code} has no formula yet.`, 'Choose or type its formula first.')
}

const blank = (kind: Layer['kind'], name: string, coats: number): Layer => ({
  id: null,
  kind,
  name,
  coats,
  mixture: null,
  gunSetup: null,
  booth: null,
  notes: '',
})

/**
 * A panel to be sprayed for a job: built as the panel that its formula came from, with the job's ground, candy and coats,
 * under clear.
 */
export async function checkPanelDraft(db: Rack['db'], job: CustomerJob): Promise<PanelDraft> {
  const formula = mustHaveFormula(job)
  const like = formula.panelId === null ? null : await likePanel(db, formula.panelId)
  const candy: Layer = {
    ...blank('candy', '', formula.coats),
    mixture: formula.mixture,
    gunSetup: formula.gunSetup,
  }
  const layers = like
    ? likeLayers(like, formula, candy)
    : [blank('ground', formula.ground, 2), candy, blank('clear', '', 2)]
  return {
    id: null,
    code: null,
    title: `Check for ${job.code}: ${job.title}`.slice(0, 200),
    status: 'planned',
    sprayedOn: null,
    sprayedBy: '',
    substrate: like?.substrate ?? '',
    notes: '',
    tags: [],
    layers,
    steps: [{ id: null, coats: formula.coats, notes: '' }],
  }
}

/** What that panel was sprayed with otherwise, without what belonged to its day. */
function likeLayers(like: { layers: readonly Layer[] }, formula: JobFormula, candy: Layer): Layer[] {
  const layers = like.layers.map((layer): Layer => ({ ...layer, id: null, booth: null, notes: '' }))
  const lastCandy = layers.findLastIndex(({ kind }) => kind === 'candy')
  const lastGround = layers.findLastIndex(({ kind }) => kind === 'ground' || kind === 'solid')
  return layers.map((layer, at) => {
    if (at === lastCandy) return candy
    const isOtherGround = at === lastGround && layer.name.trim().toLowerCase() !== formula.ground.trim().toLowerCase()
    return isOtherGround && formula.ground !== '' ? { ...blank('ground', formula.ground, layer.coats || 2) } : layer
  })
}

/** The panel is a help, no condition: it may have gone since. */
async function likePanel(db: Rack['db'], id: string): Promise<{ layers: Layer[]; substrate: string } | null> {
  try {
    const panel = await readPanel(db, id)
    return panel.layers.some(({ kind }) => kind === 'candy') ? panel : null
  } catch (error) {
    if (error instanceof Refusal) return null
    throw error
  }
}

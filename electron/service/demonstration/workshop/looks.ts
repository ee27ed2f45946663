import { type DyeLoad, dyeLoad, filmAbsorbance, underMidCoat } from '../../../../shared-core/film/forward.ts'
import { sharesOf } from '../../../../shared-core/mix/quantities.ts'
import { dyes, type Ground, grounds, type Pearl, pearls } from '../palette.ts'
import type { Coating, PanelLook } from '../picture/plan.ts'
import type { Random } from '../random.ts'
import { gunOf } from './drafts.ts'
import { candyMixture } from './mixtures.ts'
import type { PanelIdea } from './panels.ts'

/** Scatter of hand spraying: of each coat, and of a whole panel (natural logarithm). */
const scatter = { coat: 0.08, panel: 0.03 }

/** Dye of each concentrate after one coat, from the very mixture that the panel's record holds. */
function loadsPerCoat(idea: PanelIdea): DyeLoad[] {
  return sharesOf(candyMixture(idea)).flatMap(({ material, share }) => {
    if (material.kind !== 'concentrate') return []
    const absorbance = dyes[material.name as keyof typeof dyes]
    return [{ absorbance, load: dyeLoad(1, share ?? 0, gunOf(idea).build) }]
  })
}

/** How a panel came out: the coats as they fell, so that steps of one panel share their first ones. */
export function lookOf(idea: PanelIdea, random: Random): PanelLook {
  const ground: Ground = grounds[idea.ground]
  const pearl: Pearl | null = idea.mid ? pearls[idea.mid.pearl] : null
  const raw = idea.cleared ? 1 : 1 - ground.rawLoss
  const base = ground.reflectance.map((r) => r * raw)
  const reflectance =
    pearl && idea.mid?.under ? underMidCoat(base, pearl.platelet, idea.mid.coats, pearl.coverage) : base
  const over =
    pearl && idea.mid && !idea.mid.under
      ? { platelet: pearl.platelet, coats: idea.mid.coats, coverage: pearl.coverage }
      : null
  const loads = loadsPerCoat(idea)
  const panelScatter = Math.exp(scatter.panel * random.normal())
  const coatFilms = Array.from(
    { length: Math.max(...idea.steps) },
    () => panelScatter * Math.exp(scatter.coat * random.normal()),
  )
  const steps = idea.steps.map((coats): Coating => {
    const film = coatFilms.slice(0, coats).reduce((sum, coat) => sum + coat, 0)
    return { ground: { reflectance, trapped: ground.trapped }, absorbance: filmAbsorbance(loads, film), over }
  })
  const small = idea.steps.length <= 2
  return {
    widthMm: 100,
    heightMm: small ? 150 : 200,
    steps,
    ends: idea.steps.map((_, i) => (i + 1) / idea.steps.length),
    grain: Math.hypot(ground.grain, pearl?.grain ?? 0),
    sparkle: pearl?.sparkle ?? 0,
    lobe: ground.lobe,
    gloss: idea.cleared ? 1 : 0.3,
    hole: !idea.tags?.includes('one go'),
  }
}

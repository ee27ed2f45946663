import { useMemo } from 'react'
import type { Failure } from '../../../../shared-core/contract/calls.ts'
import { parseFormula } from '../../../../shared-core/mix/formula.ts'
import { formulaInShort } from '../../../../shared-core/mix/formula-words.ts'
import type { PartToPaint } from '../../../../shared-core/records/customer-job.ts'
import type { Material, Mixture } from '../../../../shared-core/records/mixture.ts'
import type { Layer } from '../../../../shared-core/records/panel.ts'
import { decimalSign } from '../../../parts/say-numbers.ts'
import { useAnswer } from '../../../state/asking.ts'
import type { MixFrom } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'

/** One formula that can be mixed: a panel has one for each of its layers. */
export type Choice = {
  label: string
  mixture: Mixture
  coats: number | null
  tipMm: number | null
  /** What the film model is asked about; empty where it is no candy over a known ground. */
  ground: string
}

/** What a cup is mixed from. */
export type MixSource = {
  title: string
  choices: readonly Choice[]
  /** A job's parts to paint. */
  parts: readonly PartToPaint[]
  customerJobId: string | null
  panelId: string | null
}

type Found = { source: MixSource | null; wrong: Pick<Failure, 'message' | 'remedy'> | null }

const none: Found = { source: null, wrong: null }

/** Asks for the panel or job, or reads the formula. Neither source nor wrong: not there yet. */
export function useSource(from: MixFrom, materials: readonly Material[] | undefined): Found {
  const panel = useAnswer('panels.get', from.kind === 'panel' ? { key: from.key } : null)
  const job = useAnswer('customerJobs.get', from.kind === 'job' ? { key: from.key } : null)
  const decimal = useStore((s) => decimalSign(s.settings))
  return useMemo((): Found => {
    if (from.kind === 'formula') return materials ? ofFormula(from.key, materials, decimal) : none
    if (from.kind === 'panel') {
      if (panel.error) return { source: null, wrong: panel.error }
      if (!panel.value) return none
      const { layers, id, code, title } = panel.value.panel
      const choices = choicesOf(layers, panel.value.summary.ground ?? '')
      if (choices.length === 0) return { source: null, wrong: noFormula(code) }
      return {
        source: { title: `${code} ${title}`.trim(), choices, parts: [], customerJobId: null, panelId: id },
        wrong: null,
      }
    }
    if (job.error) return { source: null, wrong: job.error }
    if (!job.value) return none
    const { formula, parts, id, code, title } = job.value.job
    if (!formula) return { source: null, wrong: noFormula(code) }
    const { mixture, coats, ground, gunSetup, panelId } = formula
    const choice = { label: 'Formula', mixture, coats: coats || null, tipMm: gunSetup?.tipMm ?? null, ground }
    return {
      source: { title: `${code} ${title}`.trim(), choices: [choice], parts, customerJobId: id, panelId },
      wrong: null,
    }
  }, [from, panel.value, panel.error, job.value, job.error, materials, decimal])
}

const noFormula = (code: string) => ({
  message: `No formula is written down for ${code}.`,
  remedy: 'Write it down there first, or type a formula in Mix.',
})

function ofFormula(text: string, materials: readonly Material[], decimal: 'comma' | 'point'): Found {
  const read = parseFormula(text, { known: materials.map(({ id, name, kind }) => ({ id, name, kind })) })
  if (!read.ok) return { source: null, wrong: read }
  const { mixture, coats } = read
  const choice: Choice = { label: 'Formula', mixture, coats, tipMm: null, ground: '' }
  const title = formulaInShort(mixture, { decimal }).slice(0, 200)
  return { source: { title, choices: [choice], parts: [], customerJobId: null, panelId: null }, wrong: null }
}

const kindWords: Record<Layer['kind'], string> = {
  sealer: 'Sealer',
  undercoat: 'Undercoat',
  ground: 'Ground',
  candy: 'Candy',
  solid: 'Colour',
  'mid-coat': 'Mid coat',
  'barrier-clear': 'Barrier clear',
  clear: 'Clear',
}

/** Candy first, then the rest as it was sprayed. */
function choicesOf(layers: readonly Layer[], ground: string): Choice[] {
  const isColour = ({ kind }: Layer) => kind === 'candy' || kind === 'solid'
  return [...layers.filter(isColour), ...layers.filter((layer) => !isColour(layer))].flatMap((layer) =>
    layer.mixture
      ? [
          {
            label: layer.name === '' ? kindWords[layer.kind] : `${kindWords[layer.kind]}, ${layer.name}`,
            mixture: layer.mixture,
            coats: layer.coats || null,
            tipMm: layer.gunSetup?.tipMm ?? null,
            ground: layer.kind === 'candy' ? ground : '',
          },
        ]
      : [],
  )
}

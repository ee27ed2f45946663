import type { Cup } from '../../../../shared-core/records/cup.ts'
import type {
  AsSprayed,
  CustomerJob,
  CustomerJobDraft,
  PartToPaint,
} from '../../../../shared-core/records/customer-job.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { blankJob } from '../list/blank-job.ts'

/** What is counted coat by coat. */
export type Counted = 'midCoats' | 'coats' | 'clearCoats'
export const countedInWords: Record<Counted, string> = { midCoats: 'Mid coat', coats: 'Candy', clearCoats: 'Clear' }
/** A record that was only opened has no coat yet: what was sprayed is still to be written down. */
export const hasCoats = ({ sprayed }: Pick<PartToPaint, 'sprayed'>): boolean =>
  sprayed !== null && sprayed.coats + sprayed.midCoats + sprayed.clearCoats > 0
/** As far as the record counts. */
export const mostCounted: Record<Counted, number> = { midCoats: 12, coats: 60, clearCoats: 12 }

/** Batches of what was poured into cups, each once: "Tidewater 4411, Carrier 20-7". */
export function batchesOf(cups: readonly Cup[]): string {
  const said = cups.flatMap(({ lines }) =>
    lines.filter(({ batch }) => batch.trim() !== '').map(({ name, batch }) => `${name} ${batch.trim()}`),
  )
  return [...new Set(said)].join(', ')
}

/** What is known before the first coat: ground, gun and cups as the job says. */
export function beforeTheFirstCoat(
  job: Pick<CustomerJob, 'formula'>,
  cups: readonly Cup[],
  painter: string,
  today: string,
): AsSprayed {
  const mixed = cups.filter(({ status }) => status === 'mixed')
  return {
    ground: job.formula?.ground ?? '',
    coats: 0,
    midCoats: 0,
    clearCoats: 0,
    gunSetup: job.formula?.gunSetup ?? null,
    reducerGrade: '',
    reducerPercent: reducerOnTop(job.formula),
    temperatureC: null,
    humidityPercent: null,
    flashOffMin: null,
    cupIds: mixed.map(({ id }) => id),
    batches: batchesOf(mixed),
    sprayedOn: today,
    sprayedBy: painter,
    notes: '',
  }
}

/** What the formula says of reducer on top; null where it says nothing. */
function reducerOnTop(formula: CustomerJob['formula']): number | null {
  const part = formula?.mixture.parts.find(
    ({ unit, material }) => unit === 'percent-on-top' && material?.kind === 'reducer',
  )
  return part ? Math.min(part.amount, 100) : null
}

/** One coat more or less; never below none or beyond what a record holds. */
export function counted(sprayed: AsSprayed, what: Counted, by: 1 | -1): AsSprayed {
  return { ...sprayed, [what]: Math.min(Math.max(sprayed[what] + by, 0), mostCounted[what]) }
}

/** A new job that starts where a part was left: the paint, ground, coats and gun as they were sprayed. */
export function touchUpOf(job: CustomerJob, part: PartToPaint): CustomerJobDraft {
  const { sprayed } = part
  const said = sprayed
    ? [
        `${coatsInWords(sprayed.coats)} of candy over ${sprayed.ground || 'a ground that was not written down'}`,
        sprayed.midCoats > 0 ? `${coatsInWords(sprayed.midCoats)} of mid coat` : '',
        sprayed.clearCoats > 0 ? `${coatsInWords(sprayed.clearCoats)} of clear` : '',
        sprayed.reducerGrade ? `reducer ${sprayed.reducerGrade}` : '',
        sprayed.batches ? `batches ${sprayed.batches}` : '',
        sprayed.sprayedOn ? `sprayed on ${sprayed.sprayedOn}` : '',
        sprayed.notes,
      ]
    : []
  const words = said.filter(Boolean).join('; ')
  return {
    ...blankJob(`Touch-up of ${part.name}`, job.tolerance),
    customer: job.customer,
    referenceId: job.referenceId,
    candidates: job.candidates,
    formula: job.formula && {
      ...job.formula,
      ground: sprayed?.ground ?? job.formula.ground,
      coats: sprayed?.coats ?? job.formula.coats,
      gunSetup: sprayed?.gunSetup ?? job.formula.gunSetup,
    },
    notes: `As ${part.name} of ${job.code} was sprayed: ${words}.`.slice(0, 8000),
  }
}

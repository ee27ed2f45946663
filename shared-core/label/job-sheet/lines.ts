import { formulaInWords } from '../../mix/formula-words.ts'
import { cautionsFor, type WorkStep } from '../../mix/safety/cautions.ts'
import { materialsIn } from '../../mix/safety/materials-in.ts'
import { formatQuantity, formatShort } from '../../mix/units.ts'
import type { Cup } from '../../records/cup.ts'
import type { AsSprayed, CheckOutcome, CustomerJob, PartToPaint } from '../../records/customer-job.ts'
import type { LabelWording } from '../../records/label.ts'
import type { Block, Cell, Column } from '../paper/blocks.ts'
import { clauses, coatsInWords, gunInWords } from '../text.ts'

/** A colour as a job sheet shows it: a picture where there is one, else a flat colour in sRGB. */
export type Shown = { under: string; hex: string | null; cut: string | null }

export type JobFacts = {
  wording: LabelWording
  referenceName: string | null
  swatches: readonly Shown[]
  outcomes: readonly CheckOutcome[]
  cups: readonly Cup[]
  /** Codes of panels by id: candidates and where the formula came from. */
  codes: ReadonlyMap<string, string>
  /** By id: whether the safety data sheet of a material names isocyanates, as far as the shelf was told. */
  isocyanates: ReadonlyMap<string, boolean | null>
}

const statusWords = { open: 'open', accepted: 'accepted', painted: 'painted', closed: 'closed' } as const
const decisionWords = { accepted: 'Accepted', corrected: 'Corrected', refused: 'Refused', note: 'Note' } as const
const verdictWords = {
  within: 'within the tolerance',
  beyond: 'beyond the tolerance',
  doubtful: 'the ± decides',
  'not-read': 'not read yet',
} as const

const columns: readonly Column[] = [
  { widthMm: 110, align: 'left' },
  { widthMm: 30, align: 'right' },
  { widthMm: 42, align: 'left' },
]
const cupColumns: readonly Column[] = [
  { widthMm: 22, align: 'left' },
  { widthMm: 26, align: 'right' },
  { widthMm: 66, align: 'left' },
  { widthMm: 68, align: 'left' },
]

const dayOf = (at: string): string => at.slice(0, 10)

/** A customer's job on paper, in the order of the work, with room to write what is sprayed. */
export function jobSheetBlocks(job: CustomerJob, facts: JobFacts): Block[] {
  const { wording } = facts
  return [
    ...fact('Customer', job.customer),
    ...fact('Notes', job.notes),
    {
      kind: 'fact',
      about: 'State',
      says: clauses([statusWords[job.status], job.dueOn === null ? '' : `due ${job.dueOn}`]),
    },
    { kind: 'heading', text: 'Colour' },
    ...fact('Reference', facts.referenceName ?? 'none yet'),
    ...(facts.swatches.length > 0 ? [{ kind: 'swatches' as const, of: facts.swatches }] : []),
    ...formulaBlocks(job, facts),
    { kind: 'heading', text: 'Parts' },
    ...(job.parts.length === 0 ? [{ kind: 'text' as const, text: 'No parts yet.' }] : [partsTable(job.parts, wording)]),
    ...cupBlocks(facts.cups, wording),
    ...checkBlocks(job, facts),
    ...(job.decisions.length === 0 ? [] : [{ kind: 'heading' as const, text: 'Decided' }]),
    ...job.decisions.map(
      ({ at, who, what, words }): Block => ({
        kind: 'fact',
        about: dayOf(at),
        says: clauses([decisionWords[what], who, words]),
      }),
    ),
    ...job.parts.map((part): Block => ({ kind: 'together', blocks: sprayedBlocks(part, job, facts) })),
    { kind: 'heading', text: 'Take care' },
    ...cautionLines(job, facts).map((text): Block => ({ kind: 'text', size: 'small', text })),
  ]
}

const fact = (about: string, says: string): Block[] => (says.trim() === '' ? [] : [{ kind: 'fact', about, says }])

function formulaBlocks({ formula }: CustomerJob, { wording, codes }: JobFacts): Block[] {
  if (!formula) return [{ kind: 'fact', about: 'Formula', says: 'not chosen yet' }]
  const { decimal } = wording
  const from = formula.panelId === null ? undefined : codes.get(formula.panelId)
  return [
    { kind: 'fact', about: 'Formula', says: formulaInWords(formula.mixture, { decimal }).join(', ') },
    ...fact('Over', formula.ground),
    { kind: 'fact', about: 'Coats', says: coatsInWords(formula.coats, wording) },
    ...fact('Gun', formula.gunSetup ? clauses([formula.gunSetup.name, gunInWords(formula.gunSetup, wording)]) : ''),
    ...fact('From panel', from ?? ''),
  ]
}

function partsTable(parts: readonly PartToPaint[], { units, decimal }: LabelWording): Block {
  const area = (m2: number): string => formatQuantity(m2, 'area', units, decimal)
  const rows = parts.map(({ name, areaM2, areaDoubt }): readonly Cell[] => [
    { text: name },
    { text: area(areaM2) },
    { text: areaDoubt > 0 ? `± ${formatShort(100 * areaDoubt, 0, decimal)} %` : '' },
  ])
  const total = parts.reduce((sum, { areaM2 }) => sum + areaM2, 0)
  const last: readonly Cell[] = [{ text: 'Together', bold: true }, { text: area(total), bold: true }, { text: '' }]
  return { kind: 'table', columns, rows: parts.length > 1 ? [...rows, last] : rows, size: 'usual' }
}

function cupBlocks(cups: readonly Cup[], { decimal }: LabelWording): Block[] {
  if (cups.length === 0) return []
  const rows = cups.map(({ code, measure, lines, status, mixedAt, mixedBy, startedAt }): readonly Cell[] => {
    const poured = lines.filter(({ powder }) => !powder || measure.by === 'mass')
    const total = poured.reduce((sum, line) => sum + (line.poured ?? line.wanted), 0)
    return [
      { text: code, bold: true },
      { text: `${formatShort(total, 1, decimal)} ${measure.by === 'mass' ? 'g' : 'mL'}` },
      { text: clauses([status === 'thrown-away' ? 'thrown away' : status, dayOf(mixedAt ?? startedAt), mixedBy]) },
      { text: clauses([...new Set(lines.map(({ batch }) => batch).filter((batch) => batch !== ''))]) },
    ]
  })
  return [
    { kind: 'heading', text: 'Cups' },
    { kind: 'table', columns: cupColumns, rows, size: 'usual' },
  ]
}

function checkBlocks({ tolerance }: CustomerJob, { outcomes, wording: { decimal } }: JobFacts): Block[] {
  if (outcomes.length === 0) return []
  const say = (value: number): string => formatShort(value, 1, decimal)
  return [
    { kind: 'heading', text: 'Check panels' },
    { kind: 'fact', about: 'Tolerance', says: `ΔE00 ${say(tolerance)}` },
    ...outcomes.map(
      ({ code, de00, bound90, words, verdict, inOnePhoto }): Block => ({
        kind: 'fact',
        about: code,
        says: clauses([
          de00 === null || bound90 === null ? '' : `ΔE00 ${say(de00)} ± ${say(bound90)}`,
          verdictWords[verdict],
          de00 !== null && inOnePhoto ? 'in one photo with the reference' : '',
          words,
        ]),
      }),
    ),
    {
      kind: 'text',
      size: 'small',
      text: 'A photo is an estimate: judge panel against part under the customer’s light.',
    },
  ]
}

/** What was sprayed; and where nothing is written down yet, room for it and squares for the coats. */
function sprayedBlocks({ name, sprayed }: PartToPaint, { formula }: CustomerJob, facts: JobFacts): Block[] {
  const { wording } = facts
  // a record that was only opened leaves the room to write
  if (sprayed && sprayed.coats > 0)
    return [{ kind: 'heading', text: `As sprayed: ${name}` }, ...asSprayed(sprayed, facts)]
  const coats = formula?.coats ?? 6
  return [
    { kind: 'heading', text: `To be written down: ${name}` },
    ...(sprayed ? asSprayed(sprayed, facts) : []),
    {
      kind: 'boxes',
      about: 'Candy',
      says: `strike each coat of ${formatShort(coats, 1, wording.decimal)}`,
      count: Math.ceil(coats) + 2,
    },
    { kind: 'boxes', about: 'Mid coat', says: 'strike each coat', count: 4 },
    { kind: 'boxes', about: 'Clear', says: 'strike each coat', count: 4 },
    { kind: 'blanks', labels: ['Ground', 'gun and tip', 'pressure', 'reducer, grade'] },
    { kind: 'blanks', labels: ['temperature', 'humidity', 'flash-off', 'batches'] },
    { kind: 'blanks', labels: ['Sprayed on', 'by', 'what else'] },
  ]
}

function asSprayed(sprayed: AsSprayed, { wording, cups }: JobFacts): Block[] {
  const { units, decimal } = wording
  const used = cups.flatMap(({ id, code }) => (sprayed.cupIds.includes(id) ? [code] : []))
  const gun = sprayed.gunSetup
  const percent = sprayed.reducerPercent
  return [
    ...fact('Ground', sprayed.ground),
    {
      kind: 'fact',
      about: 'Coats',
      says: clauses([
        `${coatsInWords(sprayed.coats, wording)} of candy`,
        sprayed.midCoats > 0 ? `${coatsInWords(sprayed.midCoats, wording)} of mid coat` : '',
        sprayed.clearCoats > 0 ? `${coatsInWords(sprayed.clearCoats, wording)} of clear` : '',
      ]),
    },
    ...fact('Gun', gun ? clauses([gun.name, gunInWords(gun, wording)]) : ''),
    ...fact(
      'Reducer',
      clauses([sprayed.reducerGrade, percent === null ? '' : `${formatShort(percent, 1, decimal)} % on top`]),
    ),
    ...fact(
      'Booth',
      clauses([
        sprayed.temperatureC === null ? '' : formatQuantity(sprayed.temperatureC, 'temperature', units, decimal),
        sprayed.humidityPercent === null ? '' : `${formatShort(sprayed.humidityPercent, 0, decimal)} % humidity`,
        sprayed.flashOffMin === null ? '' : `${formatShort(sprayed.flashOffMin, 0, decimal)} min flash-off`,
      ]),
    ),
    ...fact('Cups', used.join(', ')),
    ...fact('Batches', sprayed.batches),
    ...fact('Sprayed', clauses([sprayed.sprayedOn ?? '', sprayed.sprayedBy])),
    ...fact('Notes', sprayed.notes),
  ]
}

/** By what is in the mixture: spraying, cleaning the gun, sanding for a correction. Each is said once. */
function cautionLines({ formula }: CustomerJob, { isocyanates }: JobFacts): string[] {
  const ingredients = formula
    ? materialsIn(formula.mixture).map(({ id, kind }) => ({
        kind,
        isocyanate: id === null ? null : isocyanates.get(id),
      }))
    : []
  // clear lies over every candy, and clears are often catalysed
  const all = formula ? [...ingredients, { kind: 'clear' as const }] : []
  const steps: readonly WorkStep[] = ['spray', 'clean', 'sand']
  const said = steps.flatMap((step) => cautionsFor(all, step))
  return said
    .filter(({ code }, at) => said.findIndex((other) => other.code === code) === at)
    .map(({ message, remedy }) => `${message} ${remedy}`)
}

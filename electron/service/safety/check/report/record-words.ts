import type { Finding } from '../../../../../shared-core/records/check.ts'
import { type Exam, isOnlyIndexes } from '../../../../rack/check/exam/exam.ts'
import type { HistoryBreach } from '../../../../rack/check/exam/history-breaches.ts'
import type { Breach } from '../../../../rack/check/exam/rules.ts'
import type { RunFound } from '../../../../rack/check/progress.ts'
import { item, mostItems } from './items.ts'
import { be, counted } from './words.ts'

/** What is wrong in the rack's database, in words. */
export function recordsInWords({ exam, derivedMended }: RunFound): Finding[] {
  return [
    exam && integrity(exam),
    exam && loose(exam),
    ...(exam ? broken(exam.breaches) : []),
    exam && history(exam.history),
    exam && chains(exam),
    derived(derivedMended, exam),
  ].flatMap((finding) => finding ?? [])
}

function integrity({ integrity: lines, stopped }: Exam): Finding | null {
  if (lines.length + stopped.length === 0) return null
  const items = [...lines, ...stopped].slice(0, mostItems).map((line) => item(line, ''))
  if (stopped.length === 0 && isOnlyIndexes(lines))
    return {
      code: 'indexes',
      weight: 'harm',
      title: 'An index of the records is wrong',
      means:
        'Lists by which the rack finds things quickly do not agree with the records. A search may miss something, and a drive that fails may be why.',
      safe: 'The records themselves can be read in full. A backup is made before anything is put right.',
      todo: 'Make the indexes anew, then look through once more. Copy the rack to another drive soon.',
      count: lines.length,
      items,
      actions: ['mend-indexes'],
    }
  return {
    code: 'damaged',
    weight: 'harm',
    title: 'The records are damaged',
    means:
      'Part of the rack’s database cannot be read as it was written. A drive that fails does this, or a power cut.',
    safe: 'Photos are separate files and are not touched by it. What was read before is in the backups.',
    todo: 'Repair the rack now, before more is written: the damaged file is set aside, and the newest good backup or what can be read takes its place.',
    count: lines.length + stopped.length,
    items,
    actions: ['restore'],
  }
}

const inWords: Readonly<Record<string, string>> = {
  panel: 'panel',
  step: 'step',
  layer: 'layer',
  reading: 'reading',
  photo: 'photo',
  mixture: 'mixture',
  mixture_part: 'part of a mixture',
  material: 'material',
  light: 'light',
  setup: 'set-up',
  known_sheet: 'photo sheet',
  reference: 'reference',
  area: 'area',
  cup: 'cup',
  filing: 'filing',
  tag: 'tag',
}
const word = (table: string): string => inWords[table] ?? table.replaceAll('_', ' ')

function loose({ loose: rows }: Exam): Finding | null {
  if (rows.length === 0) return null
  return {
    code: 'loose',
    weight: 'harm',
    title: `${counted(rows.length, 'record')} ${rows.length === 1 ? 'belongs' : 'belong'} to something that is not there`,
    means:
      'A reading without its step, for instance. Nothing in Overground leaves this behind: something else wrote into the database.',
    safe: 'All other records are as they should be. A backup is made before anything is put right.',
    todo: 'Put them right: what the history still knows is put back; where it is lost, what named it is taken out.',
    count: rows.length,
    items: rows
      .slice(0, mostItems)
      .map(({ table, parent, parentId }) => item(`${word(table)} without its ${word(parent)}`, parentId ?? '')),
    actions: ['mend-loose'],
  }
}

const rules: Readonly<Record<Breach['rule'], { title: (count: number) => string; todo: string }>> = {
  'mixture-tree': {
    title: (n) => `${counted(n, 'formula')} ${be(n)} not whole`,
    todo: 'Open the panel and type its formula anew, or put its records back as the history has them.',
  },
  'step-order': {
    title: (n) => `The steps of ${counted(n, 'panel')} do not count from 1 on`,
    todo: 'Number them anew: they keep their order.',
  },
  'layer-order': {
    title: (n) => `The layers of ${counted(n, 'panel')} do not count from 1 on`,
    todo: 'Number them anew: they keep their order.',
  },
  'area-order': {
    title: (n) => `The areas of ${counted(n, 'photo')} do not count from 1 on`,
    todo: 'Number them anew: they keep their order.',
  },
  'code-twice': {
    title: (n) => `${counted(n, 'code')} ${be(n)} given twice`,
    todo: 'Give one of the panels another code.',
  },
  'own-sheet': {
    title: (n) => `${counted(n, 'photo')} ${be(n)} said to be ${n === 1 ? 'its' : 'their'} own blank sheet`,
    todo: 'Open the photo and choose another blank sheet, or none.',
  },
  'rack-info': { title: () => 'The rack’s own record is missing', todo: 'Put the newest backup back.' },
}
const ordered = new Set<Breach['rule']>(['step-order', 'layer-order', 'area-order'])

function broken(breaches: readonly Breach[]): Finding[] {
  return [...Map.groupBy(breaches, ({ rule }) => rule)].map(([rule, of]) => ({
    code: rule,
    weight: 'harm' as const,
    title: rules[rule].title(of.length),
    means: 'Nothing in Overground leaves this behind: something else wrote into the database, or a drive altered it.',
    safe: 'All other records are as they should be.',
    todo: rules[rule].todo,
    count: of.length,
    items: of.slice(0, mostItems).map(({ panelCode, id }) => item(panelCode ?? id, '', { panelCode })),
    actions: ordered.has(rule)
      ? (['mend-order'] as const).slice()
      : rule === 'rack-info'
        ? (['restore'] as const).slice()
        : [],
  }))
}

function history(breaches: readonly HistoryBreach[]): Finding | null {
  if (breaches.length === 0) return null
  return {
    code: 'history',
    weight: 'harm',
    title: `${counted(breaches.length, 'record')} ${be(breaches.length)} not as ${breaches.length === 1 ? 'its' : 'their'} last change left ${breaches.length === 1 ? 'it' : 'them'}`,
    means:
      'The history keeps every record a second time, and the two do not agree. A drive that turned a byte does this, or a program that wrote into the database.',
    safe: 'Both are kept: nothing was changed. A backup is made before anything is put right.',
    todo: 'Look at what differs. Where the history is right, put the records back as it has them; where the records are, keep them as they are.',
    count: breaches.length,
    items: breaches
      .slice(0, mostItems)
      .map((breach) => item(word(breach.table), difference(breach), { panelCode: breach.panelCode })),
    actions: ['mend-from-history', 'mend-keep-present'],
  }
}

function chains({ chains: breaches }: Exam): Finding | null {
  if (breaches.length === 0) return null
  return {
    code: 'chains',
    weight: 'harm',
    title: 'The history does not agree with itself',
    means:
      'What one change left is not what the next one of the same record found. A drive that turned a byte in the history does this.',
    safe: 'All records at present are as they should be; only an older state may be wrong.',
    todo: 'Look before you undo that far, or bring a panel back from that time. A backup from before has the history whole.',
    count: breaches.length,
    items: breaches
      .slice(0, mostItems)
      .map(({ table, between: [earlier, later] }) => item(word(table), `between changes ${earlier} and ${later}`)),
    actions: [],
  }
}

function difference({ row, columns, id }: HistoryBreach): string {
  if (row === 'gone') return `is gone (${id})`
  if (row === 'there-again') return `is there, though it was removed (${id})`
  return columns
    .map((column) => `${column.name.replaceAll('_', ' ')}: “${column.present}”, in the history “${column.history}”`)
    .join('; ')
}

function derived(mended: number, exam: Exam | null): Finding | null {
  const left = exam ? exam.derived.rows + exam.derived.words : 0
  if (mended === 0 && left === 0) return null
  return {
    code: 'derived',
    weight: left > 0 ? 'harm' : 'mended',
    title:
      left > 0
        ? 'Order and search words are not those of the panels'
        : `Order and search words of ${counted(mended, 'panel')} ${mended === 1 ? 'was' : 'were'} written anew`,
    means: 'What the wall is sorted and searched by is derived from the panels, and was not equal to them.',
    safe: 'The panels themselves are as they should be.',
    todo: left > 0 ? 'Make the indexes anew.' : 'Nothing.',
    count: left > 0 ? left : mended,
    items: [],
    actions: left > 0 ? ['mend-indexes'] : [],
  }
}

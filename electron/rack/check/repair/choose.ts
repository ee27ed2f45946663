import type { RepairPlan, RepairWay } from '../../../../shared-core/records/check.ts'
import type { Holding, RepairFindings } from './facts.ts'
import type { Seen } from './plan.ts'
import { counted, kindsInWords } from './say.ts'

/**
 * Which ways there are, which is the best, and whether somebody has to choose: a backup is whole for certain, and what can
 * be read of a damaged database may be newer. Neither is ever taken in silence for the other.
 */
export function choose(seen: Seen): RepairPlan {
  const ways = [itselfWay(seen), backupWay(seen), salvageWay(seen)].filter((way) => way !== null)
  const by = (from: RepairWay['from']) => ways.find((way) => way.from === from)
  const itself = by('itself')
  const best = itself?.certain ? itself : (by('backup') ?? itself ?? by('salvage') ?? by('photos'))
  return {
    folder: seen.folder,
    madeAt: seen.now,
    damage: seen.damage,
    ways,
    best: best?.from ?? null,
    choice: best && !best.certain ? null : choiceBetween(best, ways),
    setAside: [],
  }
}

const holdingOf = ({ panels, photos, readings, latestAt }: Holding) => ({ panels, photos, readings, latestAt })

/** What speaks against the records as they are, in words that read on after "but". */
export function doubtsOf(
  { historyBreaches, chainBreaches, unconfirmed, mended }: RepairFindings,
  altered: boolean,
): string[] {
  const not = (count: number) =>
    count === 1 ? 'is not as its last change left it' : 'are not as their last changes left them'
  return [
    altered ? 'the drive has altered them, and nothing tells where' : '',
    historyBreaches > 0 ? `${counted(historyBreaches, 'record')} ${not(historyBreaches)}` : '',
    chainBreaches > 0 ? 'the history does not agree with itself' : '',
    unconfirmed > 0 ? `nothing confirms ${counted(unconfirmed, 'record')} that an index missed` : '',
    mended.removed > 0
      ? `${counted(mended.removed, 'record')} belonged to something that is lost, and had to be left out`
      : '',
    mended.loosened > 0
      ? `${counted(mended.loosened, 'record')} named something that is lost, which had to be left empty`
      : '',
  ].filter(Boolean)
}

function itselfWay({ itself, altered, mended }: Seen): RepairWay | null {
  if (!itself?.holding) return null
  const doubts = doubtsOf(itself, altered)
  const { fromHistory } = itself.mended
  const done = [
    mended && fromHistory === 0 ? 'What is derived from them is made anew.' : '',
    fromHistory > 0 ? `${counted(fromHistory, 'record')} that were lost are put back as the history has them.` : '',
  ]
  return {
    from: 'itself',
    madeAt: null,
    ...holdingOf(itself.holding),
    certain: doubts.length === 0,
    says: [
      doubts.length > 0 ? `They can be read, but ${doubts.join(', and ')}.` : 'They can be read from end to end.',
      ...done,
    ]
      .filter(Boolean)
      .join(' '),
  }
}

function backupWay({ backup }: Seen): RepairWay | null {
  if (!backup) return null
  return {
    from: 'backup',
    madeAt: backup.backup.madeAt,
    ...holdingOf(backup.holding),
    certain: true,
    says: 'It is whole, byte for byte. Anything that was changed after it was made is not in it.',
  }
}

function salvageWay({ salvage, itself }: Seen): RepairWay | null {
  if (!salvage || itself?.holding) return null
  const { holding, pages, rows } = salvage
  const isEmpty = holding.panels + holding.photos + holding.readings === 0
  if (isEmpty)
    return {
      from: 'photos',
      madeAt: null,
      ...holdingOf(holding),
      certain: false,
      says: 'Every photo that lies in the folder comes into the tray of a new rack. Panels, formulas and readings are lost.',
    }
  const lost = [
    pages.unreadable > 0 ? `${counted(pages.unreadable, 'piece')} of the file cannot be read` : '',
    rows.senseless > 0 ? `${counted(rows.senseless, 'record')} made no sense` : '',
    rows.orphaned > 0
      ? `${counted(rows.orphaned, 'record')} that belonged to what is lost (${kindsInWords(salvage.orphanedOf)})`
      : '',
  ].filter(Boolean)
  const doubt = salvage.doubtful > 0 ? ` ${counted(salvage.doubtful, 'record')} differ from what the history has.` : ''
  const back = rows.fromHistory > 0 ? ` ${counted(rows.fromHistory, 'record')} are as the history has them.` : ''
  return {
    from: 'salvage',
    madeAt: null,
    ...holdingOf(holding),
    certain: false,
    says: `Read record by record. ${
      lost.length > 0 ? `Left out: ${lost.join(', ')}.` : 'Nothing that was found had to be left out.'
    }${back}${doubt}`,
  }
}

function choiceBetween(best: RepairWay | undefined, ways: readonly RepairWay[]): string | null {
  if (!best || best.from !== 'backup') return null
  const newer = ways.find(
    (way) => way !== best && way.latestAt !== null && (best.latestAt === null || way.latestAt > best.latestAt),
  )
  if (!newer?.latestAt) return null
  return `The backup is whole, and was made on ${best.madeAt ?? best.latestAt ?? newer.latestAt}; the damaged file has things up to ${newer.latestAt}, and may be wrong or incomplete.`
}

import type { Cup } from '../../records/cup.ts'
import type { CupLabel } from '../../records/sheet.ts'

/** The label of a cup that was mixed. @param about job or panel in words, when the cup's own title says too little */
export function cupLabelOf(cup: Cup, panelCode: string | null, about = cup.title): CupLabel {
  const mixedAt = cup.mixedAt ?? cup.startedAt
  const from = cup.hardenerAt ?? mixedAt
  const untilMs = cup.potLifeUntil === null ? null : Date.parse(cup.potLifeUntil) - Date.parse(from)
  return {
    code: cup.code,
    about,
    mixture: cup.mixture,
    mixedAt,
    mixedBy: cup.mixedBy,
    hardenerAt: cup.hardenerAt,
    potLifeMin: untilMs !== null && untilMs > 0 ? untilMs / 60_000 : null,
    panelCode,
  }
}

import type { Clock } from '../../../../shared-core/mix/spray/clocks.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'

/** The clocks of a cup, whether they still run or not. They are two moments each, so nothing has to run for them. */
export function clocksOf({ status, mixedAt, hardenerAt, standUntil, potLifeUntil }: Cup): Clock[] {
  if (status !== 'mixed' || mixedAt === null) return []
  return [
    ...(standUntil === null ? [] : [{ kind: 'stand' as const, startedAt: mixedAt, until: standUntil }]),
    ...(potLifeUntil === null
      ? []
      : [{ kind: 'pot-life' as const, startedAt: hardenerAt ?? mixedAt, until: potLifeUntil }]),
  ]
}

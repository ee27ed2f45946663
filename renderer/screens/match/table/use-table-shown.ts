import type { Lab } from '../../../../shared-core/colour/lab.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { sideItemOf, targetOf } from '../../../state/match-address.ts'
import { newestOf } from '../reading-words.ts'

/** `gone`: why it cannot be shown, in words. */
export type OnTable = { id: string; name: string; lab: Lab | null; gone: string | null }

const absent = 'no longer in the rack'

/** Names and colours of what lies on the table, in its order. */
export function useTableShown(ids: readonly string[]): OnTable[] {
  const kept = ids.some((id) => targetOf(id).kind === 'reference')
  const references = useAnswer('references.list', kept ? {} : null).value?.references
  const others = ids.filter((id) => targetOf(id).kind !== 'reference')
  const items = others.flatMap((id) => sideItemOf(id) ?? [])
  const { shown, missing } = useAnswer('side.readItems', items.length > 0 ? { items } : null).value ?? {}
  return ids.map((id) => {
    const target = targetOf(id)
    if (target.kind === 'reference') {
      const reference = references?.find((one) => one.id === target.id)
      const lab = reference ? (newestOf(reference.readings)?.lab ?? null) : null
      return { id, name: reference?.name ?? '', lab, gone: references !== undefined && !reference ? absent : null }
    }
    const place = others.indexOf(id)
    const found = shown?.[place]
    const name = found?.panel
      ? `${`${found.panel.code} ${found.panel.title}`.trim()}, ${coatsInWords(found.panel.coats)}`
      : (found?.name ?? '')
    return {
      id,
      name,
      lab: found?.reading.lab ?? null,
      gone: shown !== undefined && !found ? (missing?.[place]?.message ?? absent) : null,
    }
  })
}

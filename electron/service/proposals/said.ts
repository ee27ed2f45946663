import {
  type KnownPanel,
  type Meant,
  type SaidOfPanel,
  whichPanel,
} from '../../../shared-core/find/filing/which-panel.ts'
import { panelCodeIn } from '../../../shared-core/find/symbol-text.ts'
import type { Light } from '../../../shared-core/records/colour.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { Rack } from '../../rack/opening/open.ts'
import type { Hint } from '../../rack/queries/hints.ts'
import type { KeptLook } from '../../rack/queries/proposals/looks.ts'
import { panelsByCode, panelsByTitle, readKnownPanels } from '../../rack/queries/proposals/pile.ts'

/** What was said of one photo: by codes in it, by whoever sent it, by the painter. */
export type Said = { look: KeptLook | null; hint: Hint | null }

/** Codes of panels in a picture, each once, in the order found; capitals make no other code. */
export function codesIn(look: KeptLook | null): string[] {
  const codes = new Map<string, string>()
  for (const { text } of look?.found?.symbols ?? []) {
    const code = panelCodeIn(text)
    if (code !== null && !codes.has(code.toLowerCase())) codes.set(code.toLowerCase(), code)
  }
  return [...codes.values()]
}

/** Which panels photos show, in the same order. A fixed number of queries, however many photos there are. */
export async function panelsOf(
  db: Rack['db'],
  photos: readonly Said[],
): Promise<{ panel: KnownPanel | null; doubt: Caution | null }[]> {
  const words = [...new Set(photos.flatMap(({ hint }) => (hint && hint.panel.trim() !== '' ? hint.panel.trim() : [])))]
  const codes = new Set(photos.flatMap(({ look }) => codesIn(look)))
  const byCode = await panelsByCode(db, [...new Set([...codes, ...words.flatMap(codesMeant)])])
  const byTitle = await panelsByTitle(
    db,
    words.map((one) => one.toLowerCase()),
  )
  const ids = new Set([
    ...[...byCode.values()].flatMap(({ id, inTrash }) => (inTrash ? [] : id)),
    ...[...byTitle.values()].flat(),
    ...photos.flatMap(({ look }) => look?.panelId ?? []),
  ])
  const known = await readKnownPanels(db, [...ids])
  const meantBy = (code: string): Meant => {
    const found = byCode.get(code)
    if (!found) return 'unknown'
    return found.inTrash ? 'in-trash' : (known.get(found.id) ?? 'unknown')
  }
  const meantInWords = (said: string): Meant => {
    const code = codesMeant(said).find((one) => byCode.get(one)?.inTrash === false)
    if (code !== undefined) return meantBy(code)
    const titled = byTitle.get(said.toLowerCase()) ?? []
    if (titled.length > 1) return 'several'
    const [only] = titled
    if (only !== undefined) return known.get(only) ?? 'unknown'
    return codesMeant(said).some((one) => byCode.has(one)) ? 'in-trash' : 'unknown'
  }
  return photos.map(({ look, hint }) => {
    const chosen = look?.panelId ? (known.get(look.panelId) ?? null) : null
    const said = hint && hint.panel.trim() !== '' ? hint.panel.trim() : null
    const all: SaidOfPanel = {
      seen: codesIn(look).map((code) => ({ code, meant: meantBy(code) })),
      said: said === null ? null : { words: said, meant: meantInWords(said) },
      chosen,
      isWithdrawn: look?.isWithdrawn ?? false,
    }
    return whichPanel(all)
  })
}

/** Codes that words typed on a phone may mean: "P-0042", "p42", "42". */
function codesMeant(words: string): string[] {
  const number = /^(?:p\s*-?\s*)?(\d{1,8})$/i.exec(words)?.[1]
  return number === undefined ? [words] : [words, `P-${number.padStart(4, '0')}`]
}

/** The light that words mean; `unknown`: words that are no light's name. */
export function lightOf(hint: Hint | null, lights: readonly Light[]): { lightId: string | null; isUnknown: boolean } {
  const words = hint?.light.trim().toLowerCase() ?? ''
  if (words === '') return { lightId: null, isUnknown: false }
  const light = lights.find(({ name }) => name.trim().toLowerCase() === words)
  return { lightId: light?.id ?? null, isUnknown: !light }
}

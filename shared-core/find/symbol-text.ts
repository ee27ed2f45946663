import { Panel } from '../records/panel.ts'

/** Cups and customers' jobs number themselves with these letters, panels with P. */
const othersCode = /^[CJ]-\d{4,}$/u
/** Sheets with a symbol in each corner are still about: version, corner, page, window, then the panel's code or "-". */
const cornerOfOldSheet = /^OG1 [1-4] \d{2,5}X\d{2,5} \d{2,5}X\d{2,5} (\S.{0,23})$/u
/** What strangers print into symbols most: addresses, and networks, cards and events with a word and a colon before them. */
const address = /^(?:[a-z][a-z\d+.-]*:|www\.)/iu

/**
 * The panel's code that a symbol says. Labels, back cards, spray lists and photo sheets carry the bare code of their panel. It is taken
 * letter by letter, but for blanks at its ends: a code that only looks alike is another panel's.
 * @returns  null for what is no panel's code: that of a cup or a job, an address, a text that is too long. Whether there is such a
 *           panel, the rack knows
 */
export function panelCodeIn(text: string): string | null {
  const said = Panel.shape.code.safeParse(cornerOfOldSheet.exec(text)?.[1] ?? text)
  if (!said.success || /\p{C}/u.test(said.data)) return null
  const code = said.data
  return code === '-' || othersCode.test(code) || address.test(code) ? null : code
}

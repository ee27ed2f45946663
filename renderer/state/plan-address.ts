import { PlanFormula } from '../../shared-core/records/film.ts'
import type { Route } from './router.ts'

/*
 * A formula as one piece of an address: `4*ember~1*kestrel!in6!r5!h10!under2*pearl!over1*flake!gun*id!raw`. What is left
 * out has its usual value. The signs between are those that no address has to encode; a full stop would look like a
 * file's extension to whoever serves the page, so decimals have a comma.
 */

const escaped = (id: string): string =>
  encodeURIComponent(id).replaceAll(/[*!~.]/g, (sign) => `%${sign.charCodeAt(0).toString(16).toUpperCase()}`)
const figure = (value: number): string => String(value).replace('.', ',')
const counted = (count: number, id: string): string => `${figure(count)}*${escaped(id)}`

export function formulaToText(formula: PlanFormula): string {
  const { candies, carrierParts, reducerPercent, hardenerPercent, under, over, gunSetupId, finish } = formula
  return [
    candies.map(({ id, parts }) => counted(parts, id)).join('~'),
    `in${figure(carrierParts)}`,
    ...(reducerPercent > 0 ? [`r${figure(reducerPercent)}`] : []),
    ...(hardenerPercent > 0 ? [`h${figure(hardenerPercent)}`] : []),
    ...(under ? [`under${counted(under.coats, under.id)}`] : []),
    ...(over ? [`over${counted(over.coats, over.id)}`] : []),
    ...(gunSetupId === null ? [] : [`gun*${escaped(gunSetupId)}`]),
    ...(finish === 'uncleared' ? ['raw'] : []),
  ].join('!')
}

/** @returns null for what is no formula: an address that was cut off or typed */
export function textToFormula(text: string): PlanFormula | null {
  try {
    const [candies = '', ...rest] = text.split('!')
    const after = (start: string) => rest.find((word) => word.startsWith(start))?.slice(start.length)
    const number = (word: string | undefined) => (word === undefined ? 0 : Number(word.replace(',', '.')))
    const mid = (start: string) => {
      const [coats, id] = after(start)?.split('*') ?? []
      return id === undefined ? null : { id: decodeURIComponent(id), coats: number(coats) }
    }
    const gun = after('gun*')
    const read = PlanFormula.safeParse({
      candies: candies
        .split('~')
        .filter(Boolean)
        .map((word) => {
          const [parts, id = ''] = word.split('*')
          return { id: decodeURIComponent(id), parts: number(parts) }
        }),
      carrierParts: number(after('in') ?? 'none'),
      reducerPercent: number(rest.find((word) => /^r\d/.test(word))?.slice(1)),
      hardenerPercent: number(after('h')),
      under: mid('under'),
      over: mid('over'),
      gunSetupId: gun === undefined ? null : decodeURIComponent(gun),
      finish: rest.includes('raw') ? 'uncleared' : 'cleared',
    })
    return read.success ? read.data : null
  } catch {
    return null // a broken escape: nothing that we ever wrote
  }
}

/** The route of Plan with its sliders set. @param referenceId as Match names it: a reference's id, or `reading-<id>` */
export function planAddress(formula: PlanFormula | null, referenceId: string | null = null): Route {
  return { at: 'plan', formula, referenceId }
}

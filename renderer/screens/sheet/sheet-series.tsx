import { sayDay } from '../../parts/say-numbers.ts'
import { useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'
import type { PrintingChoices } from './use-printing.ts'

const highest = 65_535

/** Another number than the one before; which one does not matter, only that no other sheet has it. */
const anotherSeries = (before: number): number => {
  const [random = 0] = crypto.getRandomValues(new Uint16Array(1))
  const next = 1 + (random % highest)
  return next === before ? 1 + (next % highest) : next
}

/** Sheets of one printer, ink and paper share a number: what a chart taught of one of them holds for all. */
export function SheetSeries({ printing, choose }: Pick<PrintingChoices, 'printing' | 'choose'>) {
  const isOpen = useStore((s) => s.rack !== null && s.rack !== undefined)
  const lights = useStore((s) => s.lights)
  const { value } = useAnswer('sheets.listKnown', isOpen ? {} : null)
  const series = printing.sheetSeries
  const known = value?.sheets.filter((sheet) => sheet.series === series) ?? []
  const lightOf = (lightId: string | null) => lights.find(({ id }) => id === lightId)?.name ?? 'light not named'
  return (
    <div className="print-series">
      <p>
        <b className="num">Sheet {series}</b>
        {known.length > 0
          ? `: its colours are known in ${known.map(({ lightId, learnedAt }) => `${lightOf(lightId)} (${sayDay(learnedAt)})`).join(', ')}.`
          : ': not known yet. Photograph one once with the 24-patch chart in its place, and every later photo on such a sheet carries its own chart.'}
      </p>
      <button type="button" className="btn" onClick={() => choose({ sheetSeries: anotherSeries(series) })}>
        Another printer, ink or paper
      </button>
    </div>
  )
}

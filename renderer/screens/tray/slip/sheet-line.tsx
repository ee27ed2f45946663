import { useShallow } from 'zustand/react/shallow'
import { learnSheet } from '../../../commands/tray/learn-sheet.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { changeMarks, useDesk } from '../desk-state.ts'
import { SheetLight, useUnnamedLight } from './sheet-light.tsx'

const cornerNames = ['top left', 'top right', 'bottom right', 'bottom left']

/** The photo sheet that is seen, how well its colours are known, and how they are learnt. */
export function SheetLine() {
  const [marks, lightId] = useDesk(useShallow((s) => [s.marks, s.circumstances.lightId]))
  const lights = useStore((s) => s.lights)
  // the command below asks for it
  useUnnamedLight()
  const { sheet, chart } = marks
  const known = useAnswer('sheets.listKnown', sheet ? {} : null).value?.sheets
  if (!sheet) return null
  const ofSeries = known?.filter(({ series }) => series === sheet.print.series) ?? []
  // as the service chooses: in this light, or else in the light that it was last learnt in
  const here = ofSeries.find((one) => one.lightId === lightId) ?? ofSeries[0]
  const nameOf = (id: string | null) => lights.find((light) => light.id === id)?.name ?? 'a light that nobody named'
  return (
    <section className="block tray-by-sheet" aria-label="Photo sheet">
      <h2>Photo sheet {sheet.print.series}</h2>
      {here ? (
        <p>
          Known since {sayDay(here.learnedAt.slice(0, 10))}, in {nameOf(here.lightId)}
          {here.lightId === lightId ? '.' : ': another light than here, so its ± is wider.'}
        </p>
      ) : known ? (
        <p>
          {chart
            ? 'Not known yet: the chart beside it can teach its colours.'
            : 'Not known yet: photograph it once with a 24-patch chart in its place, and it is a chart itself.'}
        </p>
      ) : null}
      {sheet.missing.length > 0 ? (
        <p className="fine">
          Its corner {sheet.missing.map((n) => cornerNames[n - 1]).join(' and ')} is not seen: the others say where it
          is.
        </p>
      ) : null}
      {chart ? (
        <>
          <SheetLight />
          <CommandButton command={learnSheet} />
        </>
      ) : null}
      <ChangeButton
        type="button"
        className="btn plain"
        onClick={() => changeMarks({ ...useDesk.getState().marks, sheet: null })}
      >
        Leave the sheet out
      </ChangeButton>
    </section>
  )
}

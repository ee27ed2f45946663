import { layoutNow } from '../../screens/tray/desk-actions.ts'
import { closePast, useDesk } from '../../screens/tray/desk-state.ts'
import { faultIn } from '../../screens/tray/marks.ts'
import { useUnnamedLight } from '../../screens/tray/slip/sheet-light.tsx'
import { act } from '../../state/asking.ts'
import type { Command } from '../command.ts'

/** The chart that lies on the sheet teaches its white, greys and colours, for this light. */
export const learnSheet: Command = {
  id: 'tray.learnSheet',
  place: 'tray',
  label: () => 'Learn this sheet’s colours',
  shortcut: null,
  missing() {
    const { photo, marks, circumstances } = useDesk.getState()
    if (!photo) return 'No photo is open.'
    if (!marks.sheet) return 'No photo sheet was found in this photo.'
    if (!marks.chart) return 'Mark the 24-patch chart first.'
    if (circumstances.lightId === null && useUnnamedLight.getState().photoId !== photo.id)
      return 'First say in which light it lies.'
    return faultIn(marks)
  },
  async run(state) {
    const { photo, marks, circumstances } = useDesk.getState()
    if (!photo) return
    const { lightId } = circumstances
    const done = await act('sheets.learn', { photoId: photo.id, layout: layoutNow(marks), lightId })
    if (!done) return
    // the marks are kept with what they taught
    if (useDesk.getState().photo?.id === photo.id) {
      useDesk.setState({ proposal: false, kept: { marks, circumstances } })
      closePast()
    }
    const light = state.lights.find(({ id }) => id === lightId)?.name
    const caution = done.cautions.find(({ weight }) => weight !== 'note')
    state.say(
      `Sheet ${done.sheet.series} is known now${light ? ` in ${light}` : ''}.`,
      caution
        ? `${caution.message} ${caution.remedy}`
        : `Later photos on sheets of this number need no chart.${marks.list.length === 0 ? ' This photo needs no filing.' : ''}`,
    )
  },
  undo: 'recorded',
}

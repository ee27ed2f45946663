import { expect, test } from 'vitest'
import { removePanel, savePanel } from '../../electron/rack/queries/panels.ts'
import { orderPanels } from '../../electron/rack/queries/wall/order.ts'
import { noFilter, type PanelDraft } from '../../shared-core/records/panel.ts'
import { draft, freshRack } from './fresh.ts'
import { candyMixture, layer } from './layers-typed.ts'

/** Which words are taken for which: the distance itself is tested against published examples. */

async function rackOf(panels: ReadonlyArray<Partial<PanelDraft>>) {
  const rack = await freshRack()
  const ids: string[] = []
  for (const panel of panels)
    ids.push(
      await rack.change({ label: 'add' }, (change) => savePanel(change, draft({ tags: [], notes: '', ...panel }))),
    )
  const ask = async (words: string) => {
    const { ids: found, corrected } = await orderPanels(rack.db, { ...noFilter, words }, 'code', 'none')
    return { found: found.map((id) => ids.indexOf(id) + 1), corrected }
  }
  return { rack, ids, ask }
}
const dyed = (dye: string, ground = 'bright silver') => [
  layer('ground', ground),
  layer('candy', '', { coats: 4, mixture: candyMixture(dye, 'smoke') }),
]
const threePanels = () =>
  rackOf([
    { title: 'Harbour', layers: dyed('Damson') },
    { title: 'Crème brûlée', layers: dyed('Tidewater', 'charcoal'), tags: ['blue-green'] },
    { title: 'Plain', layers: dyed('Ember'), notes: 'swirled by the wind', sprayedBy: 'Wren' },
  ])

test('a word that no panel has is taken for the nearest one, and the answer says so', async () => {
  const { ask } = await threePanels()
  expect(await ask('damson')).toEqual({ found: [1], corrected: [] })
  for (const typed of ['damsn', 'dasmon', 'Damsom', 'DAMSSON'])
    expect(await ask(typed)).toEqual({ found: [1], corrected: [{ typed, taken: ['damson'] }] })
  expect(await ask('tidwatre')).toEqual({ found: [2], corrected: [{ typed: 'tidwatre', taken: ['tidewater'] }] })
  expect(await ask('crmee')).toEqual({ found: [2], corrected: [{ typed: 'crmee', taken: ['creme'] }] })
  // the ground, the tag
  expect(await ask('charcaol')).toMatchObject({ found: [2], corrected: [{ taken: ['charcoal'] }] })
  expect(await ask('blue-geren')).toEqual({ found: [2], corrected: [{ typed: 'geren', taken: ['green'] }] })
})

test('only the word without a hit is widened, and the others still have to be there', async () => {
  const { ask } = await threePanels()
  expect(await ask('silver embre')).toEqual({ found: [3], corrected: [{ typed: 'embre', taken: ['ember'] }] })
  expect(await ask('charcoal embre')).toEqual({ found: [], corrected: [{ typed: 'embre', taken: ['ember'] }] })
  // a beginning is a hit: it stays what it was
  expect(await ask('dam')).toEqual({ found: [1], corrected: [] })
})

test('equally near words are all taken', async () => {
  const { ask } = await rackOf([{ title: 'Amber' }, { title: 'Umber' }, { title: 'Umber' }, { title: 'Timber' }])
  expect(await ask('imber')).toEqual({
    found: [1, 2, 3, 4],
    corrected: [{ typed: 'imber', taken: ['umber', 'amber', 'timber'] }],
  })
})

test('a number is never taken for another, nor a short word, nor what stands in quotation marks', async () => {
  const { ask } = await threePanels()
  expect(await ask('P-0003')).toMatchObject({ found: [3] })
  for (const typed of ['P-0033', '0033', 'damson7', 'dms', '"damsn"', '“damsn”', 'zzzzzzzz', 'P-0033 damson'])
    expect(await ask(typed)).toEqual({ found: [], corrected: [] })
  expect(await ask('"bright silver"')).toMatchObject({ found: [1, 3] })
  expect(await ask('"silver bright"')).toMatchObject({ found: [] })
  for (const typed of ['""', '"', '*', '" OR "a', ') NEAR (', '-', "'; drop table panel"])
    expect((await ask(typed)).corrected).toEqual([])
})

test('words of notes are found but taken for nothing, and words in the trash are not known', async () => {
  const { rack, ids, ask } = await threePanels()
  expect(await ask('swirled')).toEqual({ found: [3], corrected: [] })
  expect(await ask('swrled')).toEqual({ found: [], corrected: [] })
  await rack.change({ label: 'remove' }, (change) => removePanel(change, ids[0] ?? ''))
  expect(await ask('damson')).toEqual({ found: [], corrected: [] })
  expect(await ask('damsn')).toEqual({ found: [], corrected: [] })
  await rack.undo()
  expect(await ask('damsn')).toMatchObject({ found: [1] })
  await rack.undo()
  expect(await ask('embre')).toEqual({ found: [], corrected: [] })
})

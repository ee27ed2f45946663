import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { parseNumber } from '../../shared-core/mix/units.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import { type Host, startHost } from './hosts.ts'
import { readLabel } from './read-label.ts'
import { renderTestPhoto, type TestPhoto } from './scene.ts'
import {
  choosePanel,
  declineProposal,
  dialogPdf,
  dropIntoTray,
  fileAsReference,
  goToPlace,
  makeRack,
  markCorners,
  openedPdf,
  outerCorners,
  writePanel,
} from './steps.ts'

/**
 * A customer's job from end to end: a reference, the panel nearest to it, a cup for 0.8 m² of which too much is poured,
 * what is left on the shelf, a check panel that is too light, a correction, a second check, the decision, and its paper.
 */
let host: Host
const photos: Record<'ladder' | 'tank' | 'thin' | 'right', TestPhoto> = {} as never
/** A colour that no camera of a phone clips: what is left of the ± is then small enough to tell coats apart. */
const dye = 'Bracken' as const

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
  const render = (name: string, coats: number[]) =>
    renderTestPhoto(join(host.folder, `${name}.jpg`), { dye, coats, seed: name })
  photos.ladder = await render('ladder', [1, 2, 4])
  photos.tank = await render('tank', [4])
  // each shows a patch of the tank, and below it a check panel: one as thin as two coats, one as it should be
  photos.thin = await render('thin', [4, 2])
  photos.right = await render('right', [4, 4])
})
afterAll(async () => host?.stop())

const job = async () => host.call('customerJobs.get', { key: 'J-0001' })
const onHand = async () =>
  Object.fromEntries(
    (await host.call('materials.list', {})).materials.flatMap(({ name, onHand: there }) =>
      there ? [[name, there.amount]] : [],
    ),
  )
const step = (name: string) => host.page.getByRole('region', { name, exact: true })
const saved = () => host.page.getByRole('main').getByText('Saved', { exact: true }).waitFor()

/** One photo of the check panel and the reference: filed to the panel, and again as a reading of the reference. */
async function fileCheck(name: 'thin' | 'right', code: string): Promise<void> {
  const { page } = host
  const photo = photos[name]
  await dropIntoTray(page, join(host.folder, `${name}.jpg`))
  await choosePanel(page, code)
  await declineProposal(page)
  await markCorners(page, 'Mark the panel', photo.areas[1]!, photo)
  await markCorners(page, 'Grey card', photo.card!, photo)
  await page.getByRole('button', { name: `File to ${code}` }).click()
  await page.getByText('Filed, 1 reading.').waitFor()
  await page.getByRole('link', { name: new RegExp(`^${code} `) }).click()
  await page.getByRole('button', { name: 'Change its areas' }).click()
  await page.getByRole('img', { name: `Photo ${name}.jpg` }).waitFor()
  await page.getByRole('button', { name: 'A reference to match' }).click()
  await page.getByLabel('Which reference').selectOption('Customer’s tank')
  await markCorners(page, 'One area', photo.areas[0]!, photo)
  await page.getByRole('button', { name: 'File as reference' }).click()
  await page.getByText('Filed as another reading of the reference.').waitFor()
}

test('a rack with a ladder of coats and a customer’s tank', async () => {
  const { page } = host
  await makeRack(host, 'Bench wall')
  await writePanel(page, {
    title: 'Harbour ladder',
    ground: 'bright silver',
    formula: '4:1 bracken + moss, in 6:1 carrier, 4 coats',
    steps: '1 2 4',
  })
  await dropIntoTray(page, join(host.folder, 'ladder.jpg'))
  await choosePanel(page, 'P-0001')
  await markCorners(page, 'Mark the panel', outerCorners(photos.ladder.areas), photos.ladder)
  await markCorners(page, 'Grey card', photos.ladder.card!, photos.ladder)
  await page.getByRole('button', { name: 'File to P-0001' }).click()
  await page.getByText('Filed, 3 readings.').waitFor()
  await dropIntoTray(page, join(host.folder, 'tank.jpg'))
  await fileAsReference(page, 'Customer’s tank', photos.tank)
  // what is on the shelf is counted, so that what comes off it can be told
  for (const { id } of (await host.call('materials.list', {})).materials)
    await host.call('shelf.count', {
      materialId: id,
      onHand: { amount: 1000, basis: 'volume' },
      how: 'counted',
      batch: 'B-17',
    })
  expect(new Set(Object.values(await onHand()))).toEqual(new Set([1000]))
})

test('the nearest panel is considered for a new job, and its formula is taken', async () => {
  const { page } = host
  await page.getByRole('link', { name: 'Match Customer’s tank' }).click()
  await page.getByRole('listbox', { name: 'Candidates' }).getByRole('option').first().waitFor()
  await page.getByRole('button', { name: 'Consider for a job' }).click()
  const dialog = page.getByRole('dialog', { name: /^Consider P-0001 Harbour ladder, 4 coats/ })
  await dialog.getByLabel('What is painted').fill('Tank')
  await dialog.getByRole('button', { name: 'Begin the job with it' }).click()
  await page.getByRole('heading', { level: 1, name: 'J-0001 Tank' }).waitFor()
  await step('Reference').getByRole('button', { name: 'Take its formula' }).click()
  await step('Surface and quantity').getByRole('button', { name: 'Add a part' }).click()
  await step('Surface and quantity').getByLabel('Part', { exact: true }).fill('Tank')
  await step('Surface and quantity').getByLabel('Area', { exact: true }).fill('8000 cm²')
  await page.keyboard.press('Enter')
  await step('Check panels').getByLabel('Tolerance in dE00').fill('2.5')
  await saved()
  const { job: kept } = await job()
  expect(kept).toMatchObject({ title: 'Tank', formula: { ground: 'bright silver', coats: 4 } })
  expect(kept.referenceId).not.toBeNull()
  expect(kept.parts.map(({ name, areaM2 }) => [name, areaM2])).toEqual([['Tank', 0.8]])
})

let cup: Cup
test('a cup for 0.8 m² is poured, too much of one thing, and the rest follows it', async () => {
  const { page } = host
  await page.getByRole('main').getByRole('button', { name: 'Mix for this job' }).first().click()
  const form = page.getByRole('form', { name: 'How much' })
  await form.getByLabel('Scale or cup').selectOption('Syringe, 0.1 mL')
  await form.getByRole('button', { name: 'Wet' }).click()
  await form.getByLabel('One coat, wet').fill('30 µm')
  await form.getByLabel('Stays on the part, %').fill('60')
  await page.getByRole('button', { name: 'Start the cup' }).click()
  const bench = page.getByRole('main', { name: 'Cup C-0001' })
  await bench.waitFor()
  ;({ cup } = await host.call('cups.get', { key: 'C-0001' }))
  // an identity: a square metre one micrometre thick is a millilitre
  expect(cup.target.amount).toBeGreaterThanOrEqual((0.8 * 4 * 30) / 0.6)
  const wanted = cup.lines.map((line) => line.wanted)
  const first = cup.lines[0]!
  const tooMuch = Math.round(first.wanted * 1.25 * 10) / 10
  await bench.getByLabel(/^Something else\?/).fill(String(tooMuch))
  await bench.getByRole('button', { name: /^Recompute for/ }).click()
  for (let no = 2; no <= cup.lines.length; no++) {
    await bench.getByRole('heading', { level: 1, name: `Pour ${no} of ${cup.lines.length}` }).waitFor()
    await bench.getByRole('button', { name: /^Poured .* Next:/ }).click()
  }
  await bench.getByRole('button', { name: /^Stirred and strained/ }).click()
  await bench.getByLabel('Mixed by').fill('Wren')
  const before = await onHand()
  await bench.getByRole('button', { name: 'Done: take it off the shelf' }).click()
  await page.getByText('C-0001 is written down and off the shelf.').waitFor()
  ;({ cup } = await host.call('cups.get', { key: 'C-0001' }))
  expect(cup).toMatchObject({ status: 'mixed', mixedBy: 'Wren' })
  // ratios are kept: everything grew as the first did, to the step of the syringe
  for (const [i, line] of cup.lines.entries())
    expect(Math.abs(line.poured! - (wanted[i]! * tooMuch) / first.wanted)).toBeLessThanOrEqual(0.11)
  const after = await onHand()
  for (const { name, poured } of cup.lines) expect(after[name]).toBeCloseTo(before[name]! - poured!, 9)
})

test('undo brings the shelf back exactly, and it is done again', async () => {
  const { page } = host
  const after = await onHand()
  await page.keyboard.press('Control+z')
  await page.getByText(/^Undone:/).waitFor()
  expect(Object.values(await onHand()).every((amount) => amount === 1000)).toBe(true)
  await page.keyboard.press('Control+Shift+z')
  await page.getByText(/^Done again:/).waitFor()
  expect(await onHand()).toEqual(after)
})

async function addCheck(): Promise<string> {
  const { page } = host
  await goToPlace(page, 'Jobs')
  await page.getByRole('link', { name: /J-0001/ }).click()
  const before = (await job()).outcomes.length
  await step('Check panels')
    .getByRole('button', { name: /^Add (a|another) check panel$/ })
    .click()
  await expect.poll(async () => (await job()).outcomes.length).toBe(before + 1)
  const { code } = (await job()).outcomes.at(-1)!
  await step('Check panels')
    .getByRole('listitem', { name: `${code}: Not read yet` })
    .waitFor()
  return code
}

let firstDe = 0
test('a check panel that came out thin is told apart, and a correction is asked for', async () => {
  const { page } = host
  const code = await addCheck()
  await fileCheck('thin', code)
  await goToPlace(page, 'Jobs')
  await page.getByRole('link', { name: /J-0001/ }).click()
  const row = step('Check panels').getByRole('listitem', { name: `${code}: Beyond your tolerance` })
  await row.waitFor()
  await expect.poll(async () => await row.textContent()).toMatch(/paler|lighter/i)
  const [first] = (await job()).outcomes
  expect(first).toMatchObject({ inOnePhoto: true, verdict: 'beyond' })
  firstDe = first!.de00!
  const correction = step('Correction')
  await correction.getByRole('button', { name: `What to change after ${code}` }).click()
  const offered = correction.getByRole('listitem')
  await offered.first().waitFor()
  const expected = /Expected ([\d.,]+) ± /.exec((await offered.first().textContent())!)
  expect(parseNumber(expected![1]!)!).toBeLessThan(firstDe)
  await offered.first().getByRole('button', { name: 'Use it' }).click()
  await expect.poll(async () => (await job()).job.decisions.map(({ what }) => what)).toEqual(['corrected'])
})

test('a second check comes nearer and is accepted', async () => {
  const { page } = host
  const code = await addCheck()
  await fileCheck('right', code)
  await goToPlace(page, 'Jobs')
  await page.getByRole('link', { name: /J-0001/ }).click()
  await step('Check panels')
    .getByRole('listitem', { name: new RegExp(`^${code}: (Within|On the line)`) })
    .waitFor()
  const { outcomes } = await job()
  expect(outcomes[1]!.de00).toBeLessThan(firstDe)
  const decision = step('Decision')
  await decision.getByLabel('Who decides').fill('A. Lindqvist')
  await decision.getByLabel('In words').fill('Seen beside the tank at the door.')
  await decision.getByRole('button', { name: 'Accept the colour' }).click()
  await expect.poll(async () => (await job()).job.status).toBe('accepted')
  expect((await job()).job.decisions.at(-1)).toMatchObject({ what: 'accepted', who: 'A. Lindqvist' })
})

test('coats are counted by the space bar, and a reload keeps the count', async () => {
  const { page } = host
  await page.getByRole('button', { name: 'Count coats live on Tank' }).click()
  const board = page.getByRole('dialog', { name: 'Count coats on Tank' })
  for (const _ of [1, 2, 3, 4]) await page.keyboard.press('Space')
  await board.getByRole('button', { name: 'Candy 4' }).waitFor()
  await expect.poll(async () => (await job()).job.parts[0]!.sprayed?.coats).toBe(4)
  await page.reload()
  await board.getByRole('button', { name: 'Candy 4' }).waitFor()
  await board.getByRole('button', { name: 'Done counting' }).click()
  expect((await job()).job.parts[0]!.sprayed).toMatchObject({
    coats: 4,
    ground: 'bright silver',
    cupIds: [cup.id],
  })
})

test('its sheet is a page of the paper that is usual, and its code can be read back', async () => {
  const { page } = host
  const pdf = await openedPdf(host, () =>
    page.getByRole('main').getByRole('button', { name: 'Print the job sheet' }).first().click(),
  )
  const sheet = await readLabel(pdf)
  // ISO 216 A4, or ANSI/ASME Y14.1 letter
  const sizes = [
    [210, 297],
    [215.9, 279.4],
  ] as const
  expect(sizes.some(([w, h]) => Math.abs(sheet.widthMm - w) < 0.5 && Math.abs(sheet.heightMm - h) < 0.5)).toBe(true)
  expect(sheet.texts).toContain('J-0001')
})

test('labels of its check panels and of its cup are drawn to size and read back', async () => {
  const { page } = host
  const { outcomes } = await job()
  await step('Paper').getByRole('button', { name: 'Print labels of its panels' }).click()
  const labels = await readLabel(await dialogPdf(host, 'Print 2 panels'))
  expect(Math.abs(labels.widthMm - 62)).toBeLessThan(0.2)
  expect(labels.pages).toBe(2)
  expect(outcomes.map(({ code }) => code)).toContain(labels.texts[0])
  await step('Surface and quantity')
    .getByRole('link', { name: /C-0001/ })
    .click()
  await page.getByRole('button', { name: 'Print the cup label' }).click()
  const label = await readLabel(await dialogPdf(host, 'Print the cup label of C-0001'))
  expect(label.texts).toEqual(['C-0001'])
  expect(Math.abs(label.heightMm - 29)).toBeLessThan(0.2)
})

test('the page complained of nothing', () => {
  expect(host.complaints).toEqual([])
})

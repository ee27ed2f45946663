import { differenceCiede2000 } from '../../../shared-core/colour/difference.ts'
import { describeDifference } from '../../../shared-core/colour/words.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { placementOf } from '../../../shared-core/label/sheet/placement.ts'
import { startClock } from '../../../shared-core/mix/spray/clocks.ts'
import { drawPagesPdf } from '../../print/draw-pages.ts'
import { layOutMixCards } from '../../print/mix-card.ts'
import {
  densitiesOf,
  finishCup,
  listCups,
  pourLine,
  readCup,
  startCup,
  throwCupAway,
} from '../../rack/queries/bench/cups.ts'
import { readCustomerJob } from '../../rack/queries/bench/customer-jobs.ts'
import { panelAbsent } from '../../rack/queries/panels.ts'
import { cardFacts } from '../cup-cards.ts'
import type { Handlers } from '../dispatch.ts'
import { mustKnowFormula, mustKnowGrounds } from '../film/known-things.ts'
import { candyMixture } from '../film/planned-panels.ts'
import { recipeOfMixture } from '../film/recipe-of-mixture.ts'

/** Cups of paint at the bench. */
export const cupHandlers = {
  'cups.list': async (of, context) => ({ cups: await listCups(context.rack().db, of) }),
  'cups.get': async ({ key }, context) => ({ cup: await readCup(context.rack().db, key) }),
  'cups.start': async ({ count, ...wanted }, context) =>
    context.rack().change({ label: 'start a cup', panelId: wanted.panelId }, async (change) => {
      if (wanted.panelId !== null) {
        const panel = await change.db
          .selectFrom('panel')
          .select('id')
          .where('id', '=', wanted.panelId)
          .where('deleted_at', 'is', null)
          .executeTakeFirst()
        if (!panel) throw panelAbsent()
      }
      if (wanted.customerJobId !== null) await readCustomerJob(change.db, wanted.customerJobId)
      const cups = []
      for (let at = 1; at <= count; at++) {
        const title = count === 1 ? wanted.title : `${wanted.title} (${at} of ${count})`.slice(-200)
        cups.push(await startCup(change, { ...wanted, title }))
      }
      const [first] = cups
      await change.relabel(cups.length === 1 ? `start cup ${first?.code}` : `start ${cups.length} cups`)
      return { cups }
    }),
  'cups.pour': async ({ cupId, lineId, poured, accepted = false, batch }, context) =>
    context.rack().change({ label: 'pour into a cup' }, async (change) => {
      const cup = await readCup(change.db, cupId)
      const line = cup.lines.find(({ id }) => id === lineId)
      const name = line?.name ?? 'an ingredient'
      const isLeft = accepted && line?.poured === poured
      await change.relabel(isLeft ? `leave ${name} as it is in cup ${cup.code}` : `pour ${name} into cup ${cup.code}`)
      await pourLine(change, cup, { lineId, poured, accepted, batch })
      return { cup: await readCup(change.db, cupId) }
    }),
  'cups.finish': async ({ cupId, mixedBy, standMin, potLifeMin, notes }, context) =>
    context.rack().change({ label: 'mix a cup' }, async (change) => {
      const cup = await readCup(change.db, cupId)
      const now = new Date().toISOString()
      const hardensFrom = cup.hardenerAt ?? now
      const short = await finishCup(change, cup, {
        mixedBy,
        standUntil: standMin === null ? null : startClock('stand', now, standMin).until,
        potLifeUntil: potLifeMin === null ? null : startClock('pot-life', hardensFrom, potLifeMin).until,
        notes,
        who: context.appFiles.settings().painter,
      })
      await change.relabel(`mix cup ${cup.code}`)
      return { cup: await readCup(change.db, cupId), short }
    }),
  'cups.throwAway': async ({ cupId }, context) => {
    await context.rack().change({ label: 'throw a cup away' }, async (change) => {
      const cup = await readCup(change.db, cupId)
      await throwCupAway(change, cup, context.appFiles.settings().painter)
      await change.relabel(`throw cup ${cup.code} away`)
    })
    return {}
  },
  'cups.predictChange': ({ mixture, poured, ground, coats }, context) =>
    context.film.use(context.rack(), async (on) => {
      const densityOf = await densitiesOf(context.rack().db)
      const recipes = [mixture, poured].map((each) =>
        recipeOfMixture(on.rack, { mixture: each, ground, coats }, densityOf),
      )
      const why = recipes.find((recipe) => typeof recipe === 'string')
      if (why !== undefined) return { de00: null, words: '', why }
      const known = recipes.filter((recipe) => typeof recipe !== 'string')
      const [meant, made] = await on.ask({ what: 'predict', recipes: known })
      if (!meant || !made) return { de00: null, words: '', why: 'Nothing on the rack shows how this candy looks.' }
      return { de00: differenceCiede2000(meant.lab, made.lab), words: describeDifference(meant.lab, made.lab), why: '' }
    }),
  'cups.mixtureOf': ({ recipe }, context) =>
    context.film.use(context.rack(), async (on) => {
      if (recipe.formula.candies.length === 0) throw noCandy()
      mustKnowFormula(on.rack, recipe.formula)
      mustKnowGrounds(on.rack, [recipe.ground])
      const mixture = await candyMixture(context.rack().db, on.rack, recipe.formula)
      const ground = on.rack.grounds.find(({ id }) => id === recipe.ground)?.name ?? recipe.ground
      return { mixture, ground, coats: recipe.coats }
    }),
  'cups.drawCard': async ({ cupIds }, context) => {
    const { printing } = context.appFiles.settings()
    const cards = await context.rack().read(async (db) => {
      const cups = []
      for (const id of new Set(cupIds)) cups.push(await readCup(db, id))
      return cardFacts(context, db, cups)
    })
    const fileName = cards.length === 1 ? `mix card ${cards[0]?.cup.code}.pdf` : 'mix cards.pdf'
    const pages = await layOutMixCards(cards, printing.paper)
    const placement = placementOf(printing.calibration.paper)
    const documentId = await context.documents.add(fileName, (path) =>
      drawPagesPdf(pages, path, { title: 'Mix card', placement }),
    )
    return { documentId, pageCount: pages.length, fileName }
  },
} satisfies Partial<Handlers>

const noCandy = () =>
  new Refusal('film/unknown-candy', 'This formula names no candy, so there is nothing to mix.', 'Name its candy first.')

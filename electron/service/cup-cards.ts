import type { CardFacts } from '../../shared-core/label/mix-card/lines.ts'
import { materialsIn } from '../../shared-core/mix/safety/materials-in.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import { wordingOf } from '../print/spray-list.ts'
import type { Rack } from '../rack/open.ts'
import { densitiesOf } from '../rack/queries/cups.ts'
import { customerJobWords } from '../rack/queries/customer-jobs.ts'
import { listMaterials } from '../rack/queries/shelf.ts'
import type { Context } from './context.ts'

/** What the cards of some cups say beside the cups: for whom, pot life and grain of what is in them. */
export async function cardFacts(
  context: Context,
  db: Rack['db'],
  cups: readonly Cup[],
): Promise<{ cup: Cup; facts: CardFacts }[]> {
  const wording = wordingOf(context.appFiles.settings())
  const densityOf = await densitiesOf(db)
  const materials = new Map((await listMaterials(db)).map((material) => [material.id, material]))
  const cards: { cup: Cup; facts: CardFacts }[] = []
  for (const cup of cups) {
    const inIt = materialsIn(cup.mixture).flatMap(({ id }) => (id === null ? [] : (materials.get(id) ?? [])))
    const lives = inIt.flatMap(({ potLifeMin }) => potLifeMin ?? [])
    const grains = inIt.flatMap(({ kind, flakeMicron }) => (kind === 'flake' ? (flakeMicron ?? []) : []))
    const about = [
      cup.customerJobId === null ? '' : await customerJobWords(db, cup.customerJobId),
      cup.panelId === null ? '' : await panelWords(db, cup.panelId),
    ]
    cards.push({
      cup,
      facts: {
        wording,
        densityOf,
        about: about.filter((words) => words !== '').join('; '),
        potLifeMin: lives.length === 0 ? null : Math.min(...lives),
        flakeUm: grains.length === 0 ? null : Math.max(...grains),
      },
    })
  }
  return cards
}

async function panelWords(db: Rack['db'], id: string): Promise<string> {
  const row = await db.selectFrom('panel').select(['code', 'title']).where('id', '=', id).executeTakeFirst()
  return row ? `panel ${row.code} ${row.title}`.trim() : ''
}

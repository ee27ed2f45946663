import type { CardFacts } from '../../shared-core/label/mix-card/lines.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import { wordingOf } from '../print/spray-list.ts'
import type { Rack } from '../rack/opening/open.ts'
import { customerJobWords } from '../rack/queries/bench/customer-jobs.ts'
import { listMaterials } from '../rack/queries/shelf.ts'
import type { Context } from './context.ts'

/** What the cards of some cups say beside the cups: for whom, and what the shelf knows of what is in them. */
export async function cardFacts(
  context: Context,
  db: Rack['db'],
  cups: readonly Cup[],
): Promise<{ cup: Cup; facts: CardFacts }[]> {
  const wording = wordingOf(context.appFiles.settings())
  const materials = await listMaterials(db)
  const cards: { cup: Cup; facts: CardFacts }[] = []
  for (const cup of cups) {
    const about = [
      cup.customerJobId === null ? '' : await customerJobWords(db, cup.customerJobId),
      cup.panelId === null ? '' : await panelWords(db, cup.panelId),
    ]
    cards.push({ cup, facts: { wording, materials, about: about.filter((words) => words !== '').join('; ') } })
  }
  return cards
}

async function panelWords(db: Rack['db'], id: string): Promise<string> {
  const row = await db.selectFrom('panel').select(['code', 'title']).where('id', '=', id).executeTakeFirst()
  return row ? `panel ${row.code} ${row.title}`.trim() : ''
}

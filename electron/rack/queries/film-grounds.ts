import type { GroundKind } from '../../../shared-core/film/recipe.ts'
import type { GroundSeen } from './film-build.ts'

/** A ground as the film model knows it. */
export type NamedGround = {
  /** What it is called in lower case; with its undercoat where the rack has the same one over several. */
  id: string
  name: string
  kind: GroundKind
  /** Its layer's own name, and the undercoat that tells it apart. */
  layerName: string
  undercoat: string | null
}

const fold = (text: string): string => text.trim().toLowerCase()

/** Words by which a ground shows how it sends light back. Common practice, no source. */
const metalWords =
  /metal|silver|gold|copper|charcoal|pewter|alumin|bronze|brass|steel|chrome|platinum|titanium|graphite|gunmetal|flake/iu
const plainWords =
  /\b(white|black|gr[ae]y|red|blue|yellow|orange|green|cream|ivory|beige|brown|pink|violet|purple|primer|solid)\b/iu

/** A metal's word counts more than a plain colour's: "dark grey metallic". */
function kindOf({ name, bases, isSolid }: GroundSeen): GroundKind {
  if (isSolid) return 'solid'
  if ([name, ...bases].some((words) => metalWords.test(words))) return 'metallic'
  return [name, ...bases].some((words) => plainWords.test(words)) ? 'solid' : 'unknown'
}

/**
 * Gives each ground its id. One name over several undercoats is several grounds, because a ground shows what lies
 * beneath until it hides; panels that say nothing of it go with the commonest.
 * @param seen  one for each panel that has it
 */
export function nameGrounds(seen: readonly GroundSeen[]): {
  list: NamedGround[]
  idOf: (ground: GroundSeen) => string
} {
  const byName = Map.groupBy(seen, ({ name }) => fold(name))
  const list: NamedGround[] = []
  const ids = new Map<string, string>()
  const placeOf = (name: string, undercoat: string | null) => JSON.stringify([name, undercoat])
  for (const [folded, all] of [...byName].toSorted(([a], [b]) => (a < b ? -1 : 1))) {
    const undercoats = byUse(all.flatMap(({ undercoat }) => undercoat ?? []))
    const isSplit = undercoats.length > 1
    for (const undercoat of isSplit ? undercoats : [undercoats[0] ?? null]) {
      const own = all.filter((each) => !isSplit || each.undercoat === null || fold(each.undercoat) === undercoat)
      const name = commonest(own.map((each) => each.name.trim()))
      const written = undercoat === null ? null : commonest(own.flatMap((each) => each.undercoat?.trim() ?? []))
      const id = isSplit ? `${folded} over ${undercoat}` : folded
      const shown = isSplit ? `${name} over ${written}` : name
      list.push({ id, name: shown, kind: kindOf(example(own)), layerName: name, undercoat: written })
      ids.set(placeOf(folded, undercoat), id)
    }
    const usual = ids.get(placeOf(folded, undercoats[0] ?? null)) ?? folded
    ids.set(placeOf(folded, null), usual)
  }
  const idOf = ({ name, undercoat }: GroundSeen): string =>
    ids.get(placeOf(fold(name), undercoat === null ? null : fold(undercoat))) ?? fold(name)
  return { list, idOf }
}

/** The one that says most of what it is made of. */
const example = (all: readonly GroundSeen[]): GroundSeen => {
  const [first, ...others] = all
  if (!first) throw new Error('A ground that nobody has')
  const merged = others.reduce((bases, each) => [...bases, ...each.bases], [...first.bases])
  return { ...first, isSolid: all.every(({ isSolid }) => isSolid), bases: merged }
}

/** Folded, the commonest first; ties by name. */
function byUse(words: readonly string[]): string[] {
  const uses = Map.groupBy(words, fold)
  return [...uses].toSorted((a, b) => b[1].length - a[1].length || (a[0] < b[0] ? -1 : 1)).map(([word]) => word)
}

/** As it is written most often. */
function commonest(words: readonly string[]): string {
  const uses = Map.groupBy(words, (word) => word)
  return [...uses].toSorted((a, b) => b[1].length - a[1].length || (a[0] < b[0] ? -1 : 1))[0]?.[0] ?? ''
}

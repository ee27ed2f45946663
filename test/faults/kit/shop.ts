import { isDeepStrictEqual } from 'node:util'
import { noFilter, type Panel } from '../../../shared-core/records/panel.ts'
import type { Random } from '../fuzz/random.ts'
import { newDraft } from './drafts.ts'

/**
 * The ledger on the other side of the calls: what every answer that arrived has promised. It knows nothing of how the rack
 * keeps things; it compares what calls answer with what calls have answered.
 */
export type Call = (name: string, input: unknown) => Promise<unknown>
/** Panels by id, as the application last said that they are. */
export type Panels = ReadonlyMap<string, Panel>

export type Act = {
  name: string
  /** What is asked. */
  call: string
  input: unknown
  /** The panels once it was answered. */
  after: (answer: unknown) => Panels
  /** Whether these panels are what it makes of those before: for a call that was never answered. */
  fits: (found: Panels) => boolean
  kind: 'do' | 'undo' | 'redo'
}

export class Shop {
  panels: Panels = new Map()
  /** The panels before each change that can be undone, and after each that can be done again. */
  past: Panels[] = []
  future: Panels[] = []
  private readonly random: Random
  private made = 0

  constructor(random: Random) {
    this.random = random
  }

  /** Something that a painter does at random. */
  next(most: number): Act {
    const { random } = this
    const roll = random.float()
    if (this.panels.size === 0 || (roll < 0.3 && this.panels.size < most)) return this.add()
    if (roll < 0.5) return this.edit()
    if (roll < 0.58 || this.panels.size > most) return this.remove()
    if (roll < 0.7) return this.tagMany()
    if (roll < 0.88 && this.past.length > 0) return this.undo()
    if (this.future.length > 0) return this.redo()
    return this.edit()
  }

  add(): Act {
    const title = `Panel ${++this.made}`
    const draft = newDraft(this.random, title)
    const before = this.panels
    return {
      name: `add ${title}`,
      call: 'panels.save',
      input: { draft },
      kind: 'do',
      after: (answer) => {
        const { panel } = answer as { panel: Panel }
        return new Map(before).set(panel.id, panel)
      },
      fits: (found) => {
        const come = [...found.values()].filter(({ id }) => !before.has(id))
        const [one] = come
        return (
          come.length === 1 &&
          one !== undefined &&
          isDeepStrictEqual(without(found, one.id), new Map(before)) &&
          isAsDrafted(one, draft)
        )
      },
    }
  }

  edit(): Act {
    const panel = this.random.pick([...this.panels.values()])
    const notes = `${panel.notes.slice(0, 200)} (${this.random.int(1e9)})`
    const layers = panel.layers.map((layer) => ({ ...layer, coats: layer.coats + (this.random.chance(0.3) ? 1 : 0) }))
    const draft = { ...panel, notes, layers }
    const before = this.panels
    return {
      name: `edit ${panel.code}`,
      call: 'panels.save',
      input: { draft },
      kind: 'do',
      after: (answer) => new Map(before).set(panel.id, (answer as { panel: Panel }).panel),
      fits: (found) => {
        const one = found.get(panel.id)
        return (
          one !== undefined &&
          isDeepStrictEqual(without(found, panel.id), without(before, panel.id)) &&
          isAsDrafted(one, draft)
        )
      },
    }
  }

  remove(): Act {
    const panel = this.random.pick([...this.panels.values()])
    const after = without(this.panels, panel.id)
    return {
      name: `remove ${panel.code}`,
      call: 'panels.remove',
      input: { panelId: panel.id },
      kind: 'do',
      after: () => after,
      fits: (found) => isDeepStrictEqual(found, after),
    }
  }

  /** Most of the rack at once. */
  tagMany(): Act {
    const tag = `lot ${this.random.int(1e9)}`
    const chosen = [...this.panels.values()].filter(({ tags }) => tags.length < 50 && this.random.chance(0.8))
    const panels = chosen.length > 0 ? chosen : [...this.panels.values()].slice(0, 1)
    const after = new Map(this.panels)
    for (const panel of panels) after.set(panel.id, { ...panel, tags: [...panel.tags, tag] })
    return {
      name: `tag ${panels.length} panels`,
      call: 'panels.changeMany',
      input: { panelIds: panels.map(({ id }) => id), change: { addTags: [tag] } },
      kind: 'do',
      after: () => after,
      fits: (found) => isDeepStrictEqual(found, after),
    }
  }

  undo(): Act {
    const after = this.past.at(-1) ?? this.panels
    return {
      name: 'undo',
      call: 'history.undo',
      input: {},
      kind: 'undo',
      after: () => after,
      fits: (found) => isDeepStrictEqual(found, after),
    }
  }

  redo(): Act {
    const after = this.future.at(-1) ?? this.panels
    return {
      name: 'redo',
      call: 'history.redo',
      input: {},
      kind: 'redo',
      after: () => after,
      fits: (found) => isDeepStrictEqual(found, after),
    }
  }

  /** Takes down what an act came to. */
  note({ kind }: Act, panels: Panels): void {
    if (kind === 'do') {
      this.past.push(this.panels)
      this.future = []
    }
    if (kind === 'undo') {
      this.past.pop()
      this.future.push(this.panels)
    }
    if (kind === 'redo') {
      this.future.pop()
      this.past.push(this.panels)
    }
    this.panels = panels
  }

  /** Something else was done that the ledger cannot undo. */
  forgetHistory(): void {
    this.past = []
    this.future = []
  }

  /** Does it and takes it down. */
  async perform(act: Act, call: Call): Promise<void> {
    this.note(act, act.after(await call(act.call, act.input)))
  }
}

/** What the rack says that it holds, panel by panel. */
export async function panelsIn(call: Call): Promise<Panels> {
  const { ids } = (await call('panels.order', { filter: noFilter, sort: 'code', group: 'none' })) as { ids: string[] }
  const panels = new Map<string, Panel>()
  for (const id of ids) panels.set(id, ((await call('panels.get', { key: id })) as { panel: Panel }).panel)
  return panels
}

/** In words, what is otherwise than promised; null when nothing is. */
export function difference(promised: Panels, found: Panels): string | null {
  for (const [id, panel] of promised) {
    const there = found.get(id)
    if (!there) return `${panel.code} “${panel.title}” is gone`
    if (!isDeepStrictEqual(panel, there))
      return `${panel.code} is otherwise: ${JSON.stringify(panel).slice(0, 300)} and ${JSON.stringify(there).slice(0, 300)}`
  }
  for (const [id, panel] of found) if (!promised.has(id)) return `${panel.code} “${panel.title}” was not promised`
  return null
}

function without(panels: Panels, id: string): Map<string, Panel> {
  const rest = new Map(panels)
  rest.delete(id)
  return rest
}

/** The same but for what the rack gives by itself: ids, codes. */
function isAsDrafted(panel: object, draft: object): boolean {
  const plain = (value: object) =>
    JSON.stringify(value, (name, inner: unknown) => (name === 'id' || name === 'code' ? undefined : inner))
  return plain(panel) === plain(draft)
}

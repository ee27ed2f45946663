import { useState } from 'react'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { client } from '../../../client/client.ts'
import type { Said } from '../../../parts/field-error.tsx'
import { dropDraft, type FactTexts, typeFact, useShelf } from '../../../state/shelf.ts'
import { useStore } from '../../../state/store.ts'
import { useWording, type Wording } from '../../mix/say-amounts.ts'
import { type FactKey, facts, isAskedOf, type Known } from './facts.ts'

export type FactForm = {
  /** What stands in a field. */
  text: (key: FactKey) => string
  type: (key: FactKey, text: string) => void
  said: (key: FactKey) => Said | null
  /** The material as it would be kept; what cannot be understood is as it was. */
  drafted: Material
  /** How many fields differ from what is kept. */
  changed: number
  keep: () => Promise<void>
  drop: () => void
  busy: boolean
}

const nothing: FactTexts = {}

/** What was typed, understood one after the other: the mark needs the density that was typed beside it. */
function understand(material: Material, texts: FactTexts, wording: Wording) {
  let drafted = material
  const wrong: Partial<Record<FactKey, Said>> = {}
  for (const key of Object.keys(facts) as FactKey[]) {
    // the mark is read last
    if (key === 'reorderAt' || texts[key] === undefined || !isAskedOf(key, drafted)) continue
    const read = facts[key].read(texts[key], wording, drafted)
    if (read.ok) drafted = { ...drafted, ...(read.value as Known) }
    else wrong[key] = read
  }
  if (texts['reorderAt'] !== undefined) {
    const read = facts.reorderAt.read(texts['reorderAt'], wording, drafted)
    if (read.ok) drafted = { ...drafted, ...(read.value as Known) }
    else wrong.reorderAt = read
  }
  return { drafted, wrong }
}

/** A material's fields, typed and not kept until the painter says so. */
export function useFacts(material: Material): FactForm {
  const wording = useWording()
  const texts = useShelf((s) => s.drafts[material.id] ?? nothing)
  const [told, setTold] = useState(false)
  const [taken, setTaken] = useState<Said | null>(null)
  const [busy, setBusy] = useState(false)
  const { drafted, wrong } = understand(material, texts, wording)
  const shown = (key: FactKey) => facts[key].show(material, wording)
  return {
    text: (key) => texts[key] ?? shown(key),
    type(key, text) {
      setTold(false)
      if (key === 'name' || key === 'kind') setTaken(null)
      typeFact(material.id, key, text === shown(key) ? null : text)
    },
    said: (key) => (key === 'name' && taken ? taken : told ? (wrong[key] ?? null) : null),
    drafted,
    // what another kind is not asked stays out of it
    changed: (Object.keys(texts) as FactKey[]).filter((key) => isAskedOf(key, drafted)).length,
    async keep() {
      setTold(true)
      if (busy || Object.keys(wrong).length > 0) return
      setBusy(true)
      const { onHand: _, dataSheetFile: __, replacedById: ___, ...said } = drafted
      const answer = await client().call('shelf.save', { material: said })
      setBusy(false)
      if (answer.ok) {
        setTold(false)
        dropDraft(material.id)
      } else if (answer.error.code === 'material/name-taken') setTaken(answer.error)
      else useStore.getState().warn(answer.error)
    },
    drop() {
      setTold(false)
      setTaken(null)
      dropDraft(material.id)
    },
    busy,
  }
}

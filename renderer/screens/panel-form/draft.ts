import type { Layer, LayerKind, PanelDraft, Step } from '../../../shared-core/records/panel.ts'
import { PanelDraft as DraftRecord } from '../../../shared-core/records/panel.ts'
import { layerKindInWords } from '../../parts/layer-kinds.ts'

export function blankLayer(kind: LayerKind, coats: number): Layer {
  return { id: null, kind, name: '', coats, mixture: null, gunSetup: null, booth: null, notes: '' }
}

/** A new panel starts with the three layers that nearly every candy panel has; four coats are usual (common practice). */
export function blankDraft(painter: string, today: string): PanelDraft {
  return {
    id: null,
    code: null,
    title: '',
    status: 'sprayed',
    sprayedOn: today,
    sprayedBy: painter,
    substrate: '',
    notes: '',
    tags: [],
    layers: [blankLayer('ground', 2), blankLayer('candy', 4), blankLayer('clear', 2)],
    steps: [{ id: null, coats: 4, notes: '' }],
  }
}

/** "0, 1, 2, 3, 4" as the form shows and takes it. */
export function stepsToText(steps: readonly Step[], say: (value: number) => string): string {
  return steps.map((step) => say(step.coats)).join('   ')
}

/**
 * Coats of the steps, bare end first, from what was typed: numbers apart by spaces, semicolons, slashes or commas, or a
 * range "0-4". A step keeps its identity, and so its readings, by its number of coats.
 * @returns null when it cannot be understood
 */
export function stepsFromText(
  text: string,
  before: readonly Step[],
  parse: (part: string) => number | null,
): Step[] | null {
  const range = /^\s*(\d+)\s*(?:-|–|to)\s*(\d+)\s*$/.exec(text)
  const parts = range
    ? Array.from({ length: Math.abs(Number(range[2]) - Number(range[1])) + 1 }, (_, i) =>
        String(Number(range[1]) + (Number(range[2]) >= Number(range[1]) ? i : -i)),
      )
    : text.split(/[\s;/]+|,\s+|,(?=\d+(?:,|$))/).filter((part) => part !== '')
  if (parts.length === 0 || parts.length > 40) return null
  const left = [...before]
  const steps: Step[] = []
  for (const part of parts) {
    const coats = parse(part)
    if (coats === null || coats < 0 || coats > 60) return null
    const known = left.findIndex((step) => step.coats === coats)
    steps.push(known >= 0 ? left.splice(known, 1)[0]! : { id: null, coats, notes: '' })
  }
  return steps
}

/** A step whose coats were merely corrected keeps its identity too: what is left over pairs up in order. */
export function keepIdentities(steps: readonly Step[], before: readonly Step[]): Step[] {
  const free = before.filter((step) => step.id !== null && !steps.some((kept) => kept.id === step.id))
  return steps.map((step) => (step.id === null && free.length > 0 ? { ...step, id: free.shift()!.id } : step))
}

const keyOf = (folder: string, panelKey: string | null) => `overground-draft ${folder} ${panelKey ?? 'new'}`

/** A form left half-way is kept on this computer until it is saved or given up. */
export function keepDraft(folder: string, panelKey: string | null, draft: PanelDraft): void {
  localStorage.setItem(keyOf(folder, panelKey), JSON.stringify(draft))
}
export function dropDraft(folder: string, panelKey: string | null): void {
  localStorage.removeItem(keyOf(folder, panelKey))
}
export function keptDraft(folder: string, panelKey: string | null): PanelDraft | null {
  const kept = localStorage.getItem(keyOf(folder, panelKey))
  if (kept === null) return null
  // not validated field by field: a half-filled form is allowed to be invalid, but it must have a draft's shape
  try {
    const draft = JSON.parse(kept) as PanelDraft
    return Array.isArray(draft.layers) && Array.isArray(draft.steps) ? draft : null
  } catch {
    return null // cut off as it was written: a form that cannot be opened would be worse
  }
}

/** What keeps the draft from being saved, in words; null when nothing does. */
export function missingInDraft(draft: PanelDraft): string | null {
  const parsed = DraftRecord.safeParse(draft)
  if (parsed.success) return null
  const [area, index, field] = parsed.error.issues[0]!.path
  if (area === 'layers') {
    const layer = draft.layers[Number(index)]!
    const name = layerKindInWords[layer.kind].toLowerCase()
    return field === 'gunSetup'
      ? `Give the gun set-up of the ${name} a name.`
      : `Look at the ${name}: ${String(field)} is not complete.`
  }
  return area === 'steps'
    ? 'Say how many coats each step has.'
    : `Look at “${String(area)}”: it is too long or not complete.`
}

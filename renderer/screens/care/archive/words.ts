import type { Choice, ComparedPanel, MergeRules, PanelFate } from '../../../../shared-core/records/archive.ts'

/** What stands on the screen about taking in. */

export const fates: readonly PanelFate[] = [
  'new',
  'changed-there',
  'changed-here',
  'changed-both',
  'probably-same',
  'in-trash-here',
]

export const fateWords: Readonly<Record<PanelFate, string>> = {
  new: 'not here yet',
  'changed-there': 'newer there',
  'changed-here': 'newer here',
  'changed-both': 'changed in both',
  'probably-same': 'probably the same',
  'in-trash-here': 'in the trash here',
}

export const fateHelp: Readonly<Record<PanelFate, string>> = {
  new: 'Nothing like it hangs here.',
  'changed-there': 'They went on with it, or read it anew; here it stands as it was before.',
  'changed-here': 'You went on with it; there it stands as it was before.',
  'changed-both': 'Both went on with it, or nobody knows who did.',
  'probably-same': 'Written down twice: the same photos, or the same code, title, day and formula.',
  'in-trash-here': 'You took it off the wall.',
}

export const choicesOf = (fate: PanelFate): readonly Choice[] =>
  fate === 'new' ? ['theirs', 'mine'] : ['mine', 'theirs', 'both']

export function choiceWords(fate: PanelFate, choice: Choice): string {
  if (fate === 'new') return choice === 'mine' ? 'Leave out' : 'Take in'
  if (fate === 'in-trash-here')
    return { mine: 'Leave in the trash', theirs: 'Bring back as theirs', both: 'Hang theirs beside' }[choice]
  return { mine: 'Keep mine', theirs: 'Take theirs', both: 'Keep both' }[choice]
}

export const ruleOf = (rules: MergeRules, fate: PanelFate): Choice => rules[fate]

/** What will become of a panel, in words. */
export function outcomeWords(panel: ComparedPanel, choice: Choice, foreseen?: string): string {
  const { fate, ours } = panel
  const newCode = foreseen === undefined ? panel.newCode : foreseen === panel.code ? null : foreseen
  if (fate === 'new') {
    if (choice === 'mine') return 'stays out'
    return newCode === null ? `comes in as ${panel.code}` : `comes in as ${newCode}: ${panel.code} is taken`
  }
  if (choice === 'both') {
    const code = foreseen ?? newCode
    return `${fate === 'in-trash-here' ? 'theirs hangs' : 'both hang: theirs'}${code === null ? ' under a code of its own' : ` as ${code}`}`
  }
  if (choice === 'theirs') return `${ours?.code ?? ''} becomes as theirs`
  return fate === 'in-trash-here' ? 'stays in the trash' : `${ours?.code ?? ''} stays as it is here`
}

export const counted = (count: number, one: string, many = `${one}s`): string =>
  `${count.toLocaleString('en-GB').replaceAll(',', '\u202f')} ${count === 1 ? one : many}`

export function bytesWords(bytes: number): string {
  const units = ['bytes', 'kB', 'MB', 'GB', 'TB']
  let [value, unit] = [bytes, 0]
  while (value >= 1000 && unit < units.length - 1) [value, unit] = [value / 1000, unit + 1]
  return `${unit === 0 || value >= 100 ? Math.round(value) : Math.round(value * 10) / 10} ${units[unit]}`
}

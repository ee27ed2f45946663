import { create } from 'zustand'
import {
  allParts,
  type Choice,
  type Comparison,
  type MergeParts,
  type MergeRules,
  usualRules,
} from '../../../../shared-core/records/archive.ts'
import { client } from '../../../client/client.ts'

type Taking = {
  /** Where it is to be taken in from, as it was typed or chosen. */
  path: string
  comparison: Comparison | null
  rules: MergeRules
  choices: Record<string, Choice>
  parts: MergeParts
  /** Whether an archive of this rack is to hold its history. */
  history: boolean
  /** The look that is under way, and the taking in. */
  lookJob: string | null
  takeJob: string | null
  /** What was taken in last, for as long as that is undone. */
  last: { name: string; changeId: string } | null
  /** Codes that panels would come in under, as it is decided now. */
  codes: Readonly<Record<string, string>>
}

const fresh = {
  comparison: null,
  rules: usualRules,
  choices: {},
  parts: allParts,
  lookJob: null,
  takeJob: null,
  codes: {},
}

/** What is being decided: it stays while one looks at a panel and comes back. */
export const useTaking = create<Taking>(() => ({ path: '', history: true, last: null, ...fresh }))

export const changeTaking = (change: Partial<Taking>): void => useTaking.setState(change)

/** What the service still knows of the last look. */
export async function askComparison(): Promise<void> {
  const answer = await client().call('archive.comparison', {})
  if (!answer.ok) return
  const { comparison } = answer.value
  const known = useTaking.getState().comparison
  if (comparison?.id === known?.id) return
  useTaking.setState({ ...fresh, comparison, ...(comparison ? { path: comparison.path } : {}) })
}

export async function forgetComparison(): Promise<void> {
  useTaking.setState({ ...fresh })
  await client().call('archive.forgetComparison', {})
}

/** How many panels come in or become as theirs. */
export const takenPanels = ({ comparison, choices, rules }: Pick<Taking, 'comparison' | 'choices' | 'rules'>): number =>
  (comparison?.panels ?? []).filter(({ id, fate }) => (choices[id] ?? rules[fate]) !== 'mine').length

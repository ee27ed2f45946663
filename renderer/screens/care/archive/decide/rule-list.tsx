import type { Choice, Comparison, MergeRules } from '../../../../../shared-core/records/archive.ts'
import { changeTaking, useTaking } from '../archive-state.ts'
import { choicesOf, choiceWords, counted, fateHelp, fates, fateWords } from '../words.ts'

/** What goes for all panels of a kind; those decided one by one in the table go by themselves. */
export function RuleList({ comparison }: { comparison: Comparison }) {
  const rules = useTaking((s) => s.rules)
  const count = (fate: string) => comparison.panels.filter((panel) => panel.fate === fate).length
  return (
    <div className="archive-rules">
      {fates
        .filter((fate) => count(fate) > 0)
        .map((fate) => (
          <div
            key={fate}
            className="archive-rule"
            role="group"
            aria-label={`${counted(count(fate), 'panel')} ${fateWords[fate]}`}
          >
            <p>
              <b className="num">{count(fate)}</b> <b>{fateWords[fate]}</b>
              <span className="fine">{fateHelp[fate]}</span>
            </p>
            <div className="pair">
              {choicesOf(fate).map((choice) => (
                <button
                  key={choice}
                  type="button"
                  aria-pressed={rules[fate] === choice}
                  onClick={() => changeTaking({ rules: withRule(rules, fate, choice) })}
                >
                  {choiceWords(fate, choice)}
                </button>
              ))}
            </div>
          </div>
        ))}
      <p className="fine">Readings and photos of both stay, whichever you choose: nothing that was measured is lost.</p>
    </div>
  )
}

const withRule = (rules: MergeRules, fate: keyof MergeRules, choice: Choice): MergeRules => ({
  ...rules,
  [fate]: choice,
})

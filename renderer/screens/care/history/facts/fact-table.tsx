import type { FactGroup, FactPair } from '../../../../../shared-core/records/history.ts'
import { Value } from './value.tsx'

/** What stands above the two columns, and beside the name of what is on one side only. */
export type SideWords = { before: string; after: string; added: string; removed: string }

export const changeWords: SideWords = { before: 'Before', after: 'After', added: 'added', removed: 'taken away' }
export const pastWords: SideWords = { before: 'Then', after: 'Now', added: 'only now', removed: 'only then' }

/** One group of facts before and after; of something new only what it is. What differs is marked by a bar. */
export function FactTable({ group, words }: { group: FactGroup; words: SideWords }) {
  const side = group.did === 'added' ? 'after' : group.did === 'removed' ? 'before' : null
  return (
    <section className="history-group">
      {group.name === '' ? null : (
        <h4>
          {group.name}
          {side ? <span className="history-did">{side === 'after' ? words.added : words.removed}</span> : null}
        </h4>
      )}
      {group.facts.length === 0 ? null : (
        <table className="history-facts">
          {side ? null : (
            <thead>
              <tr>
                <th scope="col">
                  <span className="vh">What</span>
                </th>
                <th scope="col">{words.before}</th>
                <th scope="col">{words.after}</th>
              </tr>
            </thead>
          )}
          <tbody>
            {differingFirst(group.facts).map((fact, i) => (
              <FactRow key={`${fact.name} ${i}`} fact={fact} side={side} />
            ))}
          </tbody>
        </table>
      )}
    </section>
  )
}

const differs = ({ before, after }: FactPair): boolean => JSON.stringify(before) !== JSON.stringify(after)

const differingFirst = (facts: readonly FactPair[]): FactPair[] => [
  ...facts.filter(differs),
  ...facts.filter((fact) => !differs(fact)),
]

function FactRow({ fact, side }: { fact: FactPair; side: 'before' | 'after' | null }) {
  const isDiffering = differs(fact)
  return (
    <tr className={isDiffering && side === null ? 'is-differing' : ''}>
      <th scope="row">{fact.name}</th>
      {side ? (
        <td colSpan={2}>
          <Value value={fact[side]} />
        </td>
      ) : (
        <>
          <td>
            <Value value={fact.before} />
          </td>
          <td>{isDiffering ? <Value value={fact.after} /> : <span className="fine">the same</span>}</td>
        </>
      )}
    </tr>
  )
}

import { useEffect } from 'react'
import type { Comparison } from '../../../../../shared-core/records/archive.ts'
import { client } from '../../../../client/client.ts'
import { useTaking } from '../archive-state.ts'

/** Deciding goes on for a while; what it comes to is worked out when it rests. */
const restMs = 300

/** Which codes panels will get, worked out anew as it is decided otherwise. */
export function useForeseenCodes({ id, panels }: Comparison): void {
  const [rules, choices, parts] = [useTaking((s) => s.rules), useTaking((s) => s.choices), useTaking((s) => s.parts)]
  // under the usual rules the comparison said them already
  const asks = panels.some((panel) => (choices[panel.id] ?? rules[panel.fate]) === 'both')
  useEffect(() => {
    if (!asks) {
      useTaking.setState({ codes: {} })
      return
    }
    let isOld = false
    const wait = setTimeout(() => {
      void client()
        .call('archive.foreseeCodes', { comparisonId: id, rules, choices, parts })
        .then((answer) => {
          if (answer.ok && !isOld) useTaking.setState({ codes: answer.value.codes })
        })
    }, restMs)
    return () => {
      isOld = true
      clearTimeout(wait)
    }
  }, [asks, id, rules, choices, parts])
}

import { useState } from 'react'

/** Words that are typed but not given away yet: a reload, or a walk to another place, does not lose them. */
export function useKept(name: string): readonly [string, (words: string) => void] {
  const key = `overground-words ${name}`
  const [words, setWords] = useState(() => sessionStorage.getItem(key) ?? '')
  return [
    words,
    (next) => {
      setWords(next)
      if (next === '') sessionStorage.removeItem(key)
      else sessionStorage.setItem(key, next)
    },
  ]
}

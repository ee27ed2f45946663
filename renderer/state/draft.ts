import { useState } from 'react'
import { useStore } from './store.ts'

/**
 * What is typed but not given away yet. It is kept by this tab for the rack that is open, so that a page that is loaded
 * again, whatever ended it, offers it once more; a small form's fields are kept under one name with a dot: `new-job.title`.
 */
const keyOf = (folder: string, name: string) => `overground-words ${folder} ${name}`
const folderNow = () => useStore.getState().rack?.folder ?? ''

/** Words of one field: they outlive a reload and a walk to another place. */
export function useKept(name: string): readonly [string, (words: string) => void] {
  const key = keyOf(folderNow(), name)
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

/** Whether something typed into this form is kept. @param form  the part of the names before the dot */
export function hasKept(form: string): boolean {
  const start = keyOf(folderNow(), `${form}.`)
  return Object.keys(sessionStorage).some((key) => key.startsWith(start))
}

/** A form that was saved, or given up, keeps nothing. @param form  the part of the names before the dot */
export function forgetKept(form: string): void {
  const start = keyOf(folderNow(), `${form}.`)
  for (const key of Object.keys(sessionStorage)) if (key.startsWith(start)) sessionStorage.removeItem(key)
}

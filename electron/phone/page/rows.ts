import type { Picture } from './pictures.ts'

type Acts = { leaveOut(picture: Picture): void; takeAgain(): void }

function element<K extends keyof HTMLElementTagNameMap>(name: K, className: string): HTMLElementTagNameMap[K] {
  const made = document.createElement(name)
  made.className = className
  return made
}

/** The list of pictures, newest first: thumbnail, how far it is, what the computer says of it. */
export function makeRows(list: HTMLElement, acts: Acts) {
  const rows = new Map<Picture, { item: HTMLLIElement; renew(): void }>()

  function rowFor(picture: Picture) {
    const item = document.createElement('li')
    const thumb = element('div', 'thumb')
    thumb.textContent = 'no preview'
    const text = document.createElement('div')
    const name = element('p', 'name')
    name.textContent = [picture.name, picture.panel, picture.light].filter((words) => words !== '').join(' · ')
    const word = element('p', 'word')
    const bar = element('div', 'bar')
    const filled = document.createElement('i')
    bar.append(filled)
    bar.setAttribute('aria-hidden', 'true')
    text.append(word, bar, name)
    const button = element('button', 'btn')
    button.type = 'button'
    button.addEventListener('click', () => (picture.state === 'arrived' ? acts.takeAgain() : acts.leaveOut(picture)))
    item.append(thumb, text, button)
    let drawn: Blob | null = null
    const renew = () => {
      if (picture.thumb && drawn !== picture.thumb) {
        drawn = picture.thumb
        const img = document.createElement('img')
        const address = URL.createObjectURL(picture.thumb)
        img.alt = ''
        img.addEventListener('load', () => URL.revokeObjectURL(address))
        img.src = address
        thumb.replaceChildren(img)
      }
      word.textContent = wordOf(picture)
      bar.hidden = picture.state !== 'sending' && !(picture.state === 'waiting' && picture.sent > 0)
      filled.style.width = `${Math.round((100 * picture.sent) / Math.max(1, picture.size))}%`
      const isBad =
        picture.state === 'refused' || (picture.state === 'arrived' && picture.words !== '' && !picture.isGood)
      button.hidden = !isBad && picture.state !== 'waiting'
      button.classList.toggle('plain', picture.state !== 'arrived')
      button.textContent = picture.state === 'arrived' ? 'Take it again' : 'Leave it out'
    }
    renew()
    return { item, renew }
  }

  return {
    add(picture: Picture): void {
      const row = rowFor(picture)
      rows.set(picture, row)
      list.prepend(row.item)
    },
    renew: (picture: Picture) => rows.get(picture)?.renew(),
    remove(picture: Picture): void {
      rows.get(picture)?.item.remove()
      rows.delete(picture)
    },
    shown: () => [...rows.keys()],
  }
}

function wordOf({ state, words, sent, size }: Picture): string {
  switch (state) {
    case 'waiting':
      return sent > 0 ? 'Waits, and goes on where it was' : 'Waits'
    case 'sending':
      return sent >= size ? 'Arriving' : `Sending, ${Math.floor((100 * sent) / Math.max(1, size))} %`
    case 'arrived':
      return words === '' ? 'Arrived' : `Arrived. ${words}`
    case 'refused':
      return words
  }
}

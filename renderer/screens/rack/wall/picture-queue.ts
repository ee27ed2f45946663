/**
 * So many pictures are under way at a time. A browser keeps six connections to one host, one of them for events; calls must find one free,
 * and what the service has begun it cannot drop.
 */
const abreast = 4

type Wanted = { image: HTMLImageElement; address: string; index: number }

const waiting = new Set<Wanted>()
const underway = new Map<HTMLImageElement, () => void>()
/** Indexes of the hooks in sight: from the first to the one after the last. */
let seen = { from: 0, end: 0 }

/** Pictures of the hooks in sight go first. */
export function seePictures(from: number, end: number): void {
  seen = { from, end }
}

/**
 * Asks for a picture when its turn has come.
 * @returns a function that gives it up: one that waits is never asked for, one under way is broken off
 */
export function askPicture(image: HTMLImageElement, address: string): () => void {
  const index = Number(image.closest<HTMLElement>('[data-index]')?.dataset.index ?? -1)
  const wanted: Wanted = { image, address, index }
  waiting.add(wanted)
  askNext()
  return () => {
    waiting.delete(wanted)
    if (!underway.has(image)) return
    image.removeAttribute('src')
    underway.get(image)!()
  }
}

function askNext(): void {
  while (underway.size < abreast && waiting.size > 0) {
    const next = nextWanted()
    waiting.delete(next)
    begin(next)
  }
}

/** The one that has waited longest of those in sight, else of all. */
function nextWanted(): Wanted {
  let first: Wanted | undefined
  for (const wanted of waiting) {
    first ??= wanted
    if (wanted.index >= seen.from && wanted.index < seen.end) return wanted
  }
  return first!
}

function begin({ image, address }: Wanted): void {
  const done = () => {
    image.removeEventListener('load', done)
    image.removeEventListener('error', done)
    if (underway.delete(image)) askNext()
  }
  underway.set(image, done)
  image.addEventListener('load', done)
  image.addEventListener('error', done)
  image.src = address
}

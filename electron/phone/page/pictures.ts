/** A picture on its way, or one that has arrived. */
export type Picture = {
  readonly id: string
  readonly name: string
  readonly size: number
  readonly panel: string
  readonly light: string
  readonly addedAt: number
  /** Gone once the computer has it. */
  bytes: Blob | null
  thumb: Blob | null
  state: 'waiting' | 'sending' | 'arrived' | 'refused'
  /** Bytes that the computer has. */
  sent: number
  /** What the computer says of it; empty while it says nothing. */
  words: string
  isGood: boolean
  /** The computer has said all that it will. */
  isOver: boolean
}

/** 128 random bits: what this page asks about a picture by, and what nobody else can guess. */
export const newId = (): string =>
  Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('')

/** Some phones give every picture that is taken for a page the same name. */
export function nameOf(file: File): string {
  const generic = /^(image|photo|img|picture|capture)?\.?(jpe?g|png|heic|webp)?$/i.exec(
    file.name.replace(/\(\d+\)/, ''),
  )
  if (!generic) return file.name.slice(-60)
  const two = (n: number) => String(n).padStart(2, '0')
  const at = new Date(file.lastModified || Date.now())
  const day = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`
  const time = [at.getHours(), at.getMinutes(), at.getSeconds()].map(two).join('.')
  return `Phone ${day} ${time}.${generic[2]?.toLowerCase() ?? 'jpg'}`
}

/** What was on the phone's screen for a page that is opened anew: kept by the browser, until the computer has it. */
export type Shelf = {
  all(): Promise<Picture[]>
  /** @returns false when the browser keeps nothing (a private tab, no room): then the page must stay open */
  put(picture: Picture): Promise<boolean>
  drop(id: string): Promise<void>
}

const table = 'pictures'
/** Of pictures that arrived only the newest are shown again. */
const shown = 40

export async function openShelf(): Promise<Shelf> {
  const db = await new Promise<IDBDatabase | null>((resolve) => {
    try {
      const asked = indexedDB.open('overground-phone', 1)
      asked.addEventListener('upgradeneeded', () => asked.result.createObjectStore(table, { keyPath: 'id' }))
      asked.addEventListener('success', () => resolve(asked.result))
      asked.addEventListener('error', () => resolve(null))
      asked.addEventListener('blocked', () => resolve(null))
    } catch {
      resolve(null)
    }
  })
  const done = <T>(mode: IDBTransactionMode, work: (store: IDBObjectStore) => IDBRequest<T>) =>
    new Promise<T>((resolve, reject) => {
      if (!db) throw new Error('nothing is kept')
      const transaction = db.transaction(table, mode)
      const asked = work(transaction.objectStore(table))
      transaction.addEventListener('complete', () => resolve(asked.result))
      for (const name of ['abort', 'error'])
        transaction.addEventListener(name, () => reject(transaction.error ?? new Error('not kept')))
    })
  const drop = async (id: string) => {
    await done('readwrite', (store) => store.delete(id)).catch(() => undefined)
  }
  return {
    all: async () => {
      const kept = await done('readonly', (store) => store.getAll() as IDBRequest<Picture[]>).catch(() => [])
      const sorted = kept.toSorted((a, b) => a.addedAt - b.addedAt)
      const over = sorted.filter(({ bytes }) => bytes === null)
      const old = new Set(over.slice(0, -shown).map(({ id }) => id))
      for (const id of old) await drop(id)
      return sorted.filter(({ id }) => !old.has(id))
    },
    put: async (picture) =>
      done('readwrite', (store) => store.put(picture)).then(
        () => true,
        () => false,
      ),
    drop,
  }
}

const thumbSide = 176

/** A small copy for this page's own list; null where the browser cannot show the file (raw files, HEIC). */
export async function thumbOf(file: Blob): Promise<Blob | null> {
  try {
    const whole = await createImageBitmap(file, { resizeWidth: thumbSide, resizeQuality: 'medium' })
    const canvas = document.createElement('canvas')
    canvas.width = whole.width
    canvas.height = whole.height
    canvas.getContext('2d')?.drawImage(whole, 0, 0)
    whole.close()
    return await new Promise((resolve) => canvas.toBlob(resolve, 'image/jpeg', 0.8))
  } catch {
    return null
  }
}

/** Files of a drop, those in dropped folders included. */
export type Dropped = {
  files: File[]
  /** Hidden files and those that systems put into every folder: nobody meant them. */
  leftOut: number
  /** Names of folders and files that could not be looked into. */
  unread: string[]
}

const systemNames =
  /^(Thumbs\.db|ehthumbs\.db|desktop\.ini|\$RECYCLE\.BIN|System Volume Information|__MACOSX|@eaDir|lost\+found)$/i
const nobodyMeans = (name: string): boolean => name.startsWith('.') || systemNames.test(name)

/**
 * Looks into dropped folders, as deep as they go. To be called while the drop is handled: a page may read what was dropped
 * only then, though what it has got hold of stays open.
 * @param found  told how many files a folder has given so far
 * Source: WICG File and Directory Entries API, 7.1 and 7.3 (a folder's entries come in portions until an empty one).
 */
export function droppedFiles(transfer: DataTransfer, found: (files: number) => void): Promise<Dropped> {
  const entries = [...transfer.items].map((item) => (item.kind === 'file' ? item.webkitGetAsEntry() : null))
  if (!entries.some((entry) => entry?.isDirectory))
    return Promise.resolve({ files: [...transfer.files], leftOut: 0, unread: [] })
  return lookInto(entries, found)
}

async function lookInto(
  entries: readonly (FileSystemEntry | null)[],
  found: (files: number) => void,
): Promise<Dropped> {
  const dropped: Dropped = { files: [], leftOut: 0, unread: [] }
  for (const entry of entries) if (entry) dropped.files.push(...(await filesOf(entry, dropped)))
  return dropped

  async function filesOf(entry: FileSystemEntry, notes: Dropped): Promise<File[]> {
    try {
      if (entry.isFile)
        return [await new Promise<File>((take, fail) => (entry as FileSystemFileEntry).file(take, fail))]
      const inside = await entriesOf(entry as FileSystemDirectoryEntry)
      const meant = inside.filter(({ name }) => !nobodyMeans(name))
      notes.leftOut += inside.length - meant.length
      const files: File[] = []
      // some at once: each is a question to another process
      for (let from = 0; from < meant.length; from += 50) {
        const some = await Promise.all(meant.slice(from, from + 50).map((each) => filesOf(each, notes)))
        files.push(...some.flat())
        found(files.length)
      }
      return files
    } catch {
      notes.unread.push(entry.name)
      return []
    }
  }
}

async function entriesOf(folder: FileSystemDirectoryEntry): Promise<FileSystemEntry[]> {
  const reader = folder.createReader()
  const all: FileSystemEntry[] = []
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((take, fail) => reader.readEntries(take, fail))
    if (some.length === 0) break
    all.push(...some)
  }
  // systems give them in any order
  return all.toSorted((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }))
}

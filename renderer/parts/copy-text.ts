/**
 * Puts words on the clipboard. A window of ours grants no page the clipboard's interface; what is selected may be copied
 * all the same while somebody presses a button.
 * @returns false where neither way is open
 */
export async function copyText(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text)
    return true
  } catch {
    return copySelected(text)
  }
}

function copySelected(text: string): boolean {
  const copy = (event: ClipboardEvent) => {
    event.preventDefault()
    event.clipboardData?.setData('text/plain', text)
  }
  document.addEventListener('copy', copy)
  try {
    return document.execCommand('copy')
  } finally {
    document.removeEventListener('copy', copy)
  }
}

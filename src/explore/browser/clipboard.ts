/** Puts text on the clipboard; without leave to, by way of a selection, as a file opened from disk may need. */
export async function copy(text: string): Promise<void> {
  if (navigator.clipboard) {
    try {
      await navigator.clipboard.writeText(text)
      return
    } catch {
      // The older way below is still open.
    }
  }
  const area = document.createElement('textarea')
  area.value = text
  area.className = 'said'
  document.body.append(area)
  area.select()
  const done = document.execCommand('copy')
  area.remove()
  if (!done) throw new Error('copying is not allowed here')
}

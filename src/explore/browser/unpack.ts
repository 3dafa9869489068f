/** Text that stands in the file as gzip in base64. */
export async function unpacked(packed: string): Promise<string> {
  const bytes = Uint8Array.from(atob(packed), (character) => character.charCodeAt(0))
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'))
  return new Response(stream).text()
}

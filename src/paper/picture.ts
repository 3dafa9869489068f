import { escapeHtml as escaped } from '../tables/as-data.js'

/** An SVG text as an image element: its size, what it shows in words, and the picture itself in a data: address. */
export function svgImage(svg: string, alt: string, more = ''): string {
  const size = /<svg[^>]*?\swidth="(\d+(?:\.\d+)?)"[^>]*?\sheight="(\d+(?:\.\d+)?)"/.exec(svg)
  const box = size ? ` width="${Math.round(Number(size[1]))}" height="${Math.round(Number(size[2]))}"` : ''
  return `<img${box}${more} alt="${escaped(alt)}" src="data:image/svg+xml,${inAddress(svg)}">`
}

/** Only what would end or alter the address is encoded, which keeps the file small. */
const inAddress = (svg: string): string =>
  svg.replace(/[%#<>"'?&\n]/g, (c) => `%${c.charCodeAt(0).toString(16).toUpperCase().padStart(2, '0')}`)

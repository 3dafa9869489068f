/** A table for a terminal: the first column to the left, the others to the right, two spaces between. */
export function textTable(header: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = header.map((name, i) => Math.max(name.length, ...rows.map((row) => (row[i] ?? '').length)))
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, i) => (i === 0 ? cell.padEnd(widths[i] ?? 0) : cell.padStart(widths[i] ?? 0)))
      .join('  ')
      .trimEnd()
  return [line(header), widths.map((width) => '-'.repeat(width)).join('  '), ...rows.map(line)].join('\n')
}

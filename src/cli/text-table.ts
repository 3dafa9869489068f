/**
 * A table for a terminal: columns of figures to the right, columns of words to the left, two spaces between.
 *
 * @param all `right` sets every column but the first to the right, for columns of figures with a word among them
 */
export function textTable(
  header: readonly string[],
  rows: readonly (readonly string[])[],
  all?: 'right',
): string {
  const widths = header.map((name, i) => Math.max(name.length, ...rows.map((row) => (row[i] ?? '').length)))
  const figures = header.map(
    (_, i) =>
      i > 0 &&
      (all === 'right' ||
        (rows.some((row) => /\d/.test(row[i] ?? '')) && rows.every((row) => isFigure(row[i] ?? '')))),
  )
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, i) => (figures[i] ? cell.padStart(widths[i] ?? 0) : cell.padEnd(widths[i] ?? 0)))
      .join('  ')
      .trimEnd()
  return [line(header), widths.map((width) => '-'.repeat(width)).join('  '), ...rows.map(line)].join('\n')
}

const isFigure = (cell: string): boolean => /^[\u2212+-]?[\d.,]*( ?%)?$/.test(cell) || cell === 'not stated'

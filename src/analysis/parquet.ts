import { parquetWriteBuffer } from 'hyparquet-writer'

/**
 * Columns as a Parquet file, which query engines read as it is: doubles and texts, in row groups of 100,000.
 *
 * @param columns equally long columns by name
 * @param about plain facts to keep with them, such as the start of the draws
 * @returns the bytes of the file; the same columns give the same bytes
 */
export function parquetOf(
  columns: ReadonlyMap<string, Float64Array | string[]>,
  about: Readonly<Record<string, string>> = {},
): Uint8Array {
  const lengths = new Set([...columns.values()].map((column) => column.length))
  if (lengths.size > 1)
    throw new Error(
      `columns of ${[...lengths].join(' and ')} values cannot make one table; give all the same number`,
    )
  const buffer = parquetWriteBuffer({
    columnData: [...columns].map(([name, data]) => ({
      name,
      data,
      type: Array.isArray(data) ? ('STRING' as const) : ('DOUBLE' as const),
    })),
    rowGroupSize: 100_000,
    kvMetadata: Object.entries(about).map(([key, value]) => ({ key, value })),
  })
  return new Uint8Array(buffer)
}

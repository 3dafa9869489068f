import { expect, it } from 'vitest'
import { describeFiles } from '../../src/tables/describe.js'

it('data/README.md describes every column as the reader checks it', async () => {
  await expect(describeFiles()).toMatchFileSnapshot('../../data/README.md')
})

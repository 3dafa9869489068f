import { expect, it } from 'vitest'
import { groupBy } from '../../src/tables/group-by.js'

it('keeps groups and items in the order they come in', () => {
  const words = ['plate', 'sofa', 'spoon', 'pan', 'stool']
  expect([...groupBy(words, (word) => word[0])]).toEqual([
    ['p', ['plate', 'pan']],
    ['s', ['sofa', 'spoon', 'stool']],
  ])
})

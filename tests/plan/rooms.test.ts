import { expect, it, test } from 'vitest'
import { roomId } from '../../src/plan/rooms.js'
import type { Household } from '../../src/tables/household.js'

const home = (...rooms: string[]) => ({
  inventory: rooms.map((room) => ({ room })) as unknown as Household['inventory'],
})
const ids = (...rooms: string[]) => {
  const household = home(...rooms)
  return rooms.map((room) => roomId(household, room))
}

test.each([
  [
    ['Kitchen', "Child's room", 'Café'],
    ['kitchen', 'child-s-room', 'cafe'],
  ],
  [
    ['Room 1', 'Room-1', 'Room 1'],
    ['room-1', 'room-1-2', 'room-1'],
  ],
  [
    ['Room-1', 'Room 1', 'Room 1-2'],
    ['room-1', 'room-1-2', 'room-1-2-2'],
  ],
  [
    ['Kitchen', 'kitchen', ' KITCHEN '],
    ['kitchen', 'kitchen', 'kitchen'],
  ],
  [
    ['台所', '子供部屋', 'Κουζίνα', 'Кухня', 'غرفة'],
    ['台所', '子供部屋', 'κουζίνα', 'кухня', 'غرفة'],
  ],
  [
    ['Зал', 'Зай', 'Заи'],
    ['зал', 'зай', 'заи'],
  ],
  [
    ['!!!', '???'],
    ['room', 'room-2'],
  ],
  [
    ['constructor', '__proto__', 'valueOf'],
    ['constructor', 'proto', 'valueof'],
  ],
])('the rooms %j are told apart as %j', (rooms, expected) => {
  expect(ids(...rooms)).toEqual(expected)
})

it('does not hang on what is shipped: the same inventory gives the same ids', () => {
  const household = home('Room 1', 'Room-1')
  expect(roomId(household, 'Room-1')).toBe('room-1-2')
  expect(roomId(household, 'Room 1')).toBe('room-1')
})

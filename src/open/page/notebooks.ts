// (to come)
import type { Book } from './book.js'
export class Notebooks {
  constructor(
    readonly book: Book,
    readonly root: HTMLElement,
  ) {}
  hear(_message: unknown): void {}
  changed(): void {}
}

import type { Reporter, TestModule } from 'vitest/node'

/** Ends a run with one plain line that any reader of logs understands: `812 passed, 0 failed, 3 skipped`. */
export class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const count = { passed: 0, failed: 0, skipped: 0 }
    for (const module of modules) {
      if (module.state() === 'failed' && [...module.children.allTests()].length === 0) count.failed += 1
      for (const test of module.children.allTests()) {
        const { state } = test.result()
        if (state === 'passed' || state === 'failed' || state === 'skipped') count[state] += 1
      }
    }
    const skipped = count.skipped > 0 ? `, ${count.skipped} skipped` : ''
    console.log(`${count.passed} passed, ${count.failed} failed${skipped}`)
  }
}

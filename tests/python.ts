import { spawnSync } from 'node:child_process'

/** A Python that has a module: the one on the path, or Debian's own; undefined where neither has it. */
export function pythonWith(module: string): string | undefined {
  return ['python3', '/usr/bin/python3'].find(
    (python) => spawnSync(python, ['-c', `import ${module}`]).status === 0,
  )
}

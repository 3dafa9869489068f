// A study as a job array, on a Slurm of its own: a controller and two node daemons on this machine, one of them lost.
import { execFile, execFileSync, spawn, spawnSync } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import { chmodSync, cpSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { hostname, tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { packageRoot } from '../../src/plan/open.js'

const run = promisify(execFile)
const bin = join(packageRoot, 'dist', 'cli', 'bin.js')
const PATH = `${process.env.PATH}:/usr/sbin:/usr/local/sbin`
const programs = ['munged', 'slurmctld', 'slurmd', 'sbatch']
const absent = programs.filter((name) => spawnSync('which', [name], { env: { PATH } }).status !== 0)
const root = process.getuid?.() === 0
if (absent.length > 0 || !root)
  console.warn(
    `SKIPPED: ${absent.length > 0 ? `no ${absent.join(', ')} (Debian: slurm-wlm, munge)` : 'Slurm is started as root only'}`,
  )

let folder: string
let env: NodeJS.ProcessEnv

/** A Slurm of our own, in a folder and on ports of its own. */
function startSlurm(at: string): void {
  const host = hostname()
  for (const name of ['munge', 'state', 'n1', 'n2']) mkdirSync(join(at, name))
  chmodSync(join(at, 'munge'), 0o700)
  chmodSync(at, 0o755)
  writeFileSync(join(at, 'munge', 'key'), randomBytes(1024), { mode: 0o400 })
  const munge = (name: string): string => join(at, 'munge', name)
  execFileSync(
    'munged',
    [
      '--force',
      `--socket=${munge('socket')}`,
      `--key-file=${munge('key')}`,
      `--pid-file=${munge('pid')}`,
      `--log-file=${munge('log')}`,
      `--seed-file=${munge('seed')}`,
    ],
    { env: { PATH }, stdio: 'ignore' },
  )
  const port = 20_000 + (process.pid % 4000) * 3
  const node = (name: string, k: number): string =>
    `NodeName=${name} NodeHostname=${host} NodeAddr=127.0.0.1 Port=${port + k} CPUs=1 State=UNKNOWN`
  const conf = join(at, 'slurm.conf')
  writeFileSync(
    conf,
    [
      'ClusterName=test',
      `SlurmctldHost=${host}(127.0.0.1)`,
      `SlurmctldPort=${port}`,
      'SlurmUser=root',
      'SlurmdUser=root',
      'AuthType=auth/munge',
      // A task of a lost node may begin again once its credentials have run out.
      `AuthInfo=socket=${munge('socket')},cred_expire=5`,
      'CredType=cred/munge',
      `StateSaveLocation=${join(at, 'state')}`,
      `SlurmdSpoolDir=${at}/%n`,
      `SlurmctldPidFile=${at}/slurmctld.pid`,
      `SlurmdPidFile=${at}/slurmd.%n.pid`,
      `SlurmctldLogFile=${at}/slurmctld.log`,
      `SlurmdLogFile=${at}/slurmd.%n.log`,
      'ProctrackType=proctrack/linuxproc',
      'TaskPlugin=task/none',
      'MpiDefault=none',
      'SwitchType=switch/none',
      'JobAcctGatherType=jobacct_gather/none',
      'AccountingStorageType=accounting_storage/none',
      'SelectType=select/cons_tres',
      'SelectTypeParameters=CR_CPU',
      'ReturnToService=2',
      'SlurmdTimeout=5',
      'KillWait=1',
      'MailProg=/bin/true',
      node('n1', 1),
      node('n2', 2),
      'PartitionName=all Nodes=n1,n2 Default=YES MaxTime=INFINITE State=UP',
      '',
    ].join('\n'),
  )
  env = { ...process.env, PATH, SLURM_CONF: conf }
  execFileSync('slurmctld', ['-f', conf], { env, stdio: 'ignore' })
  for (const name of ['n1', 'n2']) execFileSync('slurmd', ['-f', conf, '-N', name], { env, stdio: 'ignore' })
}

const pidIn = (path: string): number | undefined =>
  existsSync(path) ? Number(readFileSync(path, 'utf8')) : undefined

/** Ends one process that this test has started, if it is still there. */
function end(pid: number | undefined, signal: NodeJS.Signals): void {
  try {
    if (pid) process.kill(pid, signal)
  } catch {
    // Gone already.
  }
}

interface Process {
  readonly pid: number
  readonly parent: number
  readonly environment: string
}

function processes(): Process[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .flatMap((name) => {
      try {
        const parent = /^PPid:\s+(\d+)/m.exec(readFileSync(`/proc/${name}/status`, 'utf8'))?.[1]
        const environment = readFileSync(`/proc/${name}/environ`, 'utf8')
        return [{ pid: Number(name), parent: Number(parent), environment }]
      } catch {
        return []
      }
    })
}

/** Takes a node away at one blow: its daemon, and the job on it with the process that watches over it. */
function loseNode(name: string): number {
  const ours = (p: Process): boolean =>
    p.environment.includes(`SLURMD_NODENAME=${name}\0`) &&
    p.environment.includes(`SLURM_CONF=${env.SLURM_CONF}\0`)
  end(pidIn(join(folder, `slurmd.${name}.pid`)), 'SIGKILL')
  const all = processes()
  const jobs = all.filter(ours)
  const inside = new Set(jobs.map(({ pid }) => pid))
  // Of the processes above, only the one that watches over the job belongs to the node.
  const watching = jobs.map(({ parent }) => parent).filter((pid) => pid > 1 && !inside.has(pid))
  for (const pid of [...new Set(watching), ...inside]) end(pid, 'SIGKILL')
  return jobs.length
}

const until = async (what: () => boolean | Promise<boolean>, seconds: number): Promise<void> => {
  const late = Date.now() + seconds * 1000
  while (!(await what())) {
    if (Date.now() > late) throw new Error(`waited ${seconds} s in vain for ${what}`)
    await new Promise((resolve) => setTimeout(resolve, 100))
  }
}

describe.skipIf(absent.length > 0 || !root)('quaybook study --slurm', () => {
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'slurm-'))
    cpSync(join(packageRoot, 'data', 'households', 'student-tromso-wellington'), join(folder, 'home'), {
      recursive: true,
    })
    await writeFile(
      join(folder, 'study.csv'),
      'vary,values\nhousehold,home\ndelay.days,0..30:200\ncost.destination.wage,20..60:300\n',
    )
    startSlurm(folder)
    await until(async () => {
      const { stdout } = await run('sinfo', ['-h', '-o', '%T %D'], { env })
      return stdout.trim() === 'idle 2'
    }, 60)
  }, 90_000)
  afterAll(async () => {
    if (!folder) return
    for (const name of ['slurmd.n1.pid', 'slurmd.n2.pid', 'slurmctld.pid', join('munge', 'pid')])
      end(pidIn(join(folder, name)), 'SIGTERM')
    await new Promise((resolve) => setTimeout(resolve, 500))
    await rm(folder, { recursive: true, force: true, maxRetries: 5 })
  })

  it('comes to the table of one run byte for byte, also when a node is lost in the middle', async () => {
    const words = [bin, 'study', 'study.csv', '--by-volume', '--out']
    const options = { cwd: folder, env }
    const child = spawn(process.execPath, [...words, 'cluster.csv', '--slurm', '4'], { ...options })
    let said = ''
    child.stderr.on('data', (text) => {
      said += text
    })
    const ended = new Promise<number | null>((resolve) => child.once('exit', resolve))
    const parts = (): string[] => {
      const name = readdirSync(folder).find((each) => each.startsWith('cluster.csv.parts-'))
      return name === undefined ? [] : readdirSync(join(folder, name))
    }
    // Both nodes are in the middle of a part.
    await until(() => parts().filter((name) => name.endsWith('.unfinished.json')).length >= 2, 120)
    expect(loseNode('n2')).toBeGreaterThan(0)
    expect(await ended, said).toBe(0)
    await run(process.execPath, [...words, 'single.csv'], options)
    const [cluster, single] = await Promise.all(
      ['cluster.csv', 'single.csv'].map((name) => readFile(join(folder, name), 'utf8')),
    )
    expect(single?.split('\n').length).toBe(1 + 3 * 200 * 300 + 1)
    expect(cluster === single).toBe(true)
    expect(readdirSync(folder).filter((name) => name.includes('.parts-'))).toEqual([])
    const log = await readFile(join(folder, 'slurmctld.log'), 'utf8')
    expect(log).toMatch(/n2 not responding|Nodes n2 not responding/)
    expect(log).toMatch(/[Rr]equeu/)
  }, 400_000)
})

it('says what is missing where there is no Slurm', async () => {
  const home = await mkdtemp(join(tmpdir(), 'no-slurm-'))
  await writeFile(join(home, 's.csv'), 'vary,values\nhousehold,student-tromso-wellington\ndelay.days,0|9\n')
  const done = spawnSync(process.execPath, [bin, 'study', 's.csv', '--out', 'r.csv', '--slurm', '2'], {
    cwd: home,
    env: { ...process.env, PATH: home },
    encoding: 'utf8',
  })
  expect(done.status).toBe(2)
  expect(done.stderr).toContain('no sbatch on this machine')
  await rm(home, { recursive: true })
}, 60_000)

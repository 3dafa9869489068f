// The only file of the brief that knows about disks.
import { existsSync, readFileSync } from 'node:fs'
import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { recommend } from '../analysis/recommend.js'
import { chartSvg } from '../charts/render.js'
import { chartTheme } from '../charts/theme-file.js'
import { type LoadResult, viewBox, viewScene } from '../load/index.js'
import { pageAssets } from '../load/write.js'
import type { PaperData, Sender } from '../paper/blocks.js'
import { type PaperAssets, paperHtml, type Spacing } from '../paper/html.js'
import { pageCss } from '../paper/page-css.js'
import { pdfPages } from '../paper/pdf-pages.js'
import { type Print, withPrinter } from '../paper/print.js'
import { replaceFiles } from '../paper/replace-file.js'
import type { Words } from '../paper/words.js'
import { wordsIn } from '../paper/words-file.js'
import type { Move, Plan } from '../plan/move.js'
import { Refusal } from '../plan/refusal.js'
import { ANNEX_FILE } from './annexes.js'
import { answerForm, type EnquiryTerms, enquiryData } from './enquiry.js'
import { briefJson } from './json.js'
import { briefPapers, type PaperChoices } from './paper.js'
import { readSender } from './sender.js'

/** Pictures of all charts of a paper, by their ids. */
export async function briefPictures(data: PaperData): Promise<ReadonlyMap<string, string>> {
  const pictures = new Map<string, string>()
  for (const block of data.sections.flatMap((section) => section.blocks)) {
    if (block.kind === 'chart') pictures.set(block.id, await chartSvg(block.chart.spec))
  }
  return pictures
}

/** How a brief is written, besides what stands in it. */
export interface BriefOptions extends PaperChoices {
  /** English unless said. */
  readonly words?: Words
  /** The copy that is sent unless said. */
  readonly copy?: PaperAssets['copy']
  /** The browser that prints the PDF; without it the page says how to print. */
  readonly chromium?: string
}

/** Every file that a brief may have, the page first. */
const FILES = ['brief.html', 'brief.pdf', 'annexes.html', 'annexes.pdf', 'brief.json'] as const

/** The files of a brief by their names. */
export type BriefFiles = ReadonlyMap<string, string | Uint8Array>

/**
 * Every file of a brief: the page, the figures as JSON, the other annexes, and PDFs of both where a browser is named.
 * The pages printed say on which page each annex is.
 */
export async function briefFiles(
  move: Move,
  plans: readonly Plan[],
  options: BriefOptions = {},
): Promise<BriefFiles> {
  const { chromium } = options
  return chromium === undefined
    ? filesPrinted(move, plans, options)
    : withPrinter(chromium, (print) => filesPrinted(move, plans, options, print))
}

async function filesPrinted(
  move: Move,
  plans: readonly Plan[],
  options: BriefOptions,
  print?: Print,
): Promise<BriefFiles> {
  const words = options.words ?? (await wordsIn())
  const { copy = 'client' } = options
  const recommendation = options.recommendation ?? recommend(move, plans, options.recommend)
  const { brief, annexes } = briefPapers(move, recommendation, chartTheme(), words, options)
  const wear = async (paper: PaperData): Promise<PaperAssets> => ({
    css: options.load ? pageCss('brief', 'load-view') : pageCss('brief'),
    words,
    copy,
    pictures: await briefPictures(paper),
    printHint: print === undefined,
    ...(paper.sections.some(({ blocks }) => blocks.some(({ kind }) => kind === 'view'))
      ? viewOf(options.load)
      : {}),
  })
  const files = new Map<string, string | Uint8Array>()
  const pages = new Map<string, number>()
  if (annexes) {
    const html = paperHtml(annexes, await wear(annexes))
    files.set(ANNEX_FILE, html)
    if (print) {
      const pdf = await print(html)
      files.set('annexes.pdf', pdf)
      // Only what is linked to has a place in the PDF: the contents link to every annex.
      for (const [id, page] of pdfPages(pdf).of) pages.set(`${ANNEX_FILE}#${id}`, page)
    }
  }
  const assets = await wear(brief)
  let html = paperHtml(brief, { ...assets, pages })
  if (print) {
    const { pdf, spacing } = await fewestPages(print, (spacing) =>
      paperHtml(brief, { ...assets, pages, ...spacing }),
    )
    for (const [id, page] of pdfPages(pdf).of) pages.set(id, page)
    html = paperHtml(brief, { ...assets, pages, ...spacing })
    files.set('brief.pdf', await print(html))
  }
  files.set('brief.html', html)
  files.set('brief.json', briefJson(move, recommendation))
  return files
}

/** How closely the lines stand, the widest first. */
const SPACINGS: readonly { readonly spacing?: Spacing }[] = [{}, { spacing: 'snug' }, { spacing: 'tight' }]

/**
 * Prints a paper, and closer where that saves the last page: a page with a few lines on it is not sent. A last page
 * that no setting saves is well filled, because the closest takes about an eighth off the whole.
 */
async function fewestPages(print: Print, html: (spacing: (typeof SPACINGS)[number]) => string) {
  const [wide = {}, ...closer] = SPACINGS
  const first = { spacing: wide, pdf: await print(html(wide)) }
  const { count } = pdfPages(first.pdf)
  for (const spacing of closer) {
    const pdf = await print(html(spacing))
    if (pdfPages(pdf).count < count) return { spacing, pdf }
  }
  return first
}

/** The two texts of an enquiry for movers: the page to send, and the form that comes back. */
export async function enquiryFiles(
  move: Move,
  plan: Plan,
  terms: EnquiryTerms,
  language?: Words,
): Promise<{ readonly html: string; readonly csv: string }> {
  const words = language ?? (await wordsIn())
  const data = enquiryData(move, plan, chartTheme(), terms, words)
  return {
    html: paperHtml(data, {
      css: pageCss('brief'),
      words,
      copy: 'client',
      pictures: await briefPictures(data),
    }),
    csv: answerForm(move, plan, terms.rules, words),
  }
}

/** The 3D view of a load plan; nothing where its script is not built. */
function viewOf(load: LoadResult | undefined): Pick<PaperAssets, 'view'> {
  const { script } = pageAssets()
  if (load === undefined || script === undefined) return {}
  return { view: { html: viewBox(load), scene: viewScene(load), script } }
}

/** Who sends the brief, from brief.csv of a household's folder; nothing where there is no such file. */
export function senderOf(folder: string): Sender | undefined {
  const path = join(folder, 'brief.csv')
  if (!existsSync(path)) return undefined
  const read = readSender({ file: 'brief.csv', text: readFileSync(path, 'utf8') }, (name) => {
    const logo = join(folder, name)
    return existsSync(logo) ? readFileSync(logo) : undefined
  })
  if (!read.ok) throw new Refusal(read.problems)
  return read.value
}

/**
 * Writes the files of a brief into a folder, which is made if it is not there; none before all are complete. What an
 * earlier run left and this one does not write (a PDF, annexes) goes, so that no two of them disagree.
 *
 * @returns the paths of the files, the page first
 */
export async function writeBrief(
  dir: string,
  move: Move,
  plans: readonly Plan[],
  options: BriefOptions = {},
): Promise<readonly string[]> {
  const files = await briefFiles(move, plans, options)
  await replaceFiles([...files].map(([name, content]) => ({ path: join(dir, name), content })))
  await Promise.all(
    FILES.filter((name) => !files.has(name)).map((name) => rm(join(dir, name), { force: true })),
  )
  return FILES.filter((name) => files.has(name)).map((name) => join(dir, name))
}

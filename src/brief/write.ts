// The only file of the brief that knows about disks.
import { join } from 'node:path'
import { recommend } from '../analysis/recommend.js'
import { chartSvg } from '../charts/render.js'
import { chartTheme } from '../charts/theme-file.js'
import { type LoadResult, viewBox, viewScene } from '../load/index.js'
import { pageAssets } from '../load/write.js'
import type { PaperData } from '../paper/blocks.js'
import { type PaperAssets, paperHtml } from '../paper/html.js'
import { pageCss } from '../paper/page-css.js'
import { replaceFiles } from '../paper/replace-file.js'
import type { Move, Plan } from '../plan/move.js'
import { type BriefExtras, briefData } from './data.js'
import { enquiryData, quoteForm } from './enquiry.js'
import { briefJson } from './json.js'

/** Pictures of all charts of a brief, by their ids. */
export async function briefPictures(data: PaperData): Promise<ReadonlyMap<string, string>> {
  const pictures = new Map<string, string>()
  for (const block of data.sections.flatMap((section) => section.blocks)) {
    if (block.kind === 'chart') pictures.set(block.id, await chartSvg(block.chart.spec))
  }
  return pictures
}

/** The two texts of a brief: the HTML file and the JSON file. */
export async function briefFiles(
  move: Move,
  plans: readonly Plan[],
  extras: BriefExtras = {},
): Promise<{ readonly html: string; readonly json: string }> {
  const recommendation = extras.recommendation ?? recommend(move, plans, extras.recommend)
  const data = briefData(move, plans, chartTheme(), { ...extras, recommendation })
  return {
    html: paperHtml(data, {
      css: extras.load ? pageCss('brief', 'load-view') : pageCss('brief'),
      pictures: await briefPictures(data),
      ...viewOf(extras.load),
    }),
    json: briefJson(move, recommendation),
  }
}

/** The two texts of an enquiry for movers: the page to send, and the form that comes back as a quotes.csv. */
export async function enquiryFiles(
  move: Move,
  plan: Plan,
): Promise<{ readonly html: string; readonly csv: string }> {
  const data = enquiryData(move, plan, chartTheme())
  return {
    html: paperHtml(data, { css: pageCss('brief'), pictures: await briefPictures(data) }),
    csv: quoteForm(move, plan),
  }
}

/** The 3D view of a load plan; nothing where its script is not built. */
function viewOf(load: LoadResult | undefined): Pick<PaperAssets, 'view'> {
  const { script } = pageAssets()
  if (load === undefined || script === undefined) return {}
  return { view: { html: viewBox(load), scene: viewScene(load), script } }
}

/**
 * Writes brief.html and brief.json into a folder, which is made if it is not there; neither before both are
 * complete.
 *
 * @returns the paths of the two files
 */
export async function writeBrief(
  dir: string,
  move: Move,
  plans: readonly Plan[],
  extras: BriefExtras = {},
): Promise<{ readonly html: string; readonly json: string }> {
  const texts = await briefFiles(move, plans, extras)
  const paths = { html: join(dir, 'brief.html'), json: join(dir, 'brief.json') }
  await replaceFiles([
    { path: paths.html, content: texts.html },
    { path: paths.json, content: texts.json },
  ])
  return paths
}

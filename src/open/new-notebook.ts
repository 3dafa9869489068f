import { type Cell, KERNEL_METADATA, type Notebook } from '../notebook/index.js'
import { PARAMETERS_TAG } from '../notebook/parameters.js'

/** A notebook to begin with: it opens the household of the page and compares its scenarios. */
export function newNotebook(title: string): Notebook {
  const code = (id: string, source: string, tags: readonly string[] = []): Cell => ({
    cell_type: 'code',
    id,
    metadata: tags.length > 0 ? { tags } : {},
    source,
    execution_count: null,
    outputs: [],
  })
  return {
    cells: [
      { cell_type: 'markdown', id: 'title', metadata: {}, source: `# ${title}` },
      code('parameters', "let household: string = 'valparaiso-gdynia'\nlet set: string[] = []", [
        PARAMETERS_TAG,
      ]),
      code(
        'open',
        "import { compare, openHousehold, showTable } from 'quaybook'\nconst { move, plans } = await openHousehold(household, set)\nundefined",
      ),
      code(
        'compare',
        [
          'showTable({',
          "  caption: 'The scenarios side by side',",
          "  columns: [{ label: 'What' }, ...plans.map((plan) => ({ label: plan.name, align: 'right' as const }))],",
          '  rows: compare(plans).map((row) => [row.label, ...row.values.map((value) => value.toFixed(2))]),',
          '})',
        ].join('\n'),
      ),
    ],
    metadata: { ...KERNEL_METADATA },
    nbformat: 4,
    nbformat_minor: 5,
  }
}

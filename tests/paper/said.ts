import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import ts from 'typescript'

/** The tags whose templates are sentences (src/paper/sentence.ts, src/paper/words.ts). */
const TAGS = new Set(['says', 'line', 'text'])

/** Every sentence that the code says, with the file it stands in, read by the compiler's own parser. */
export function sentencesOfTheCode(): ReadonlyMap<string, string> {
  const root = fileURLToPath(new URL('../../src', import.meta.url))
  const found = new Map<string, string>()
  const files = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.ts'),
  )
  for (const file of files) {
    const source = ts.createSourceFile(
      file,
      readFileSync(join(root, file), 'utf8'),
      ts.ScriptTarget.Latest,
      true,
    )
    const visit = (node: ts.Node): void => {
      if (ts.isTaggedTemplateExpression(node)) {
        const tag = ts.isPropertyAccessExpression(node.tag) ? node.tag.name.text : node.tag.getText()
        if (TAGS.has(tag)) found.set(templateOf(node.template), file)
      } else if (
        ts.isCallExpression(node) &&
        node.expression.getText() === 'phrase' &&
        node.arguments[0] &&
        ts.isStringLiteral(node.arguments[0])
      )
        found.set(node.arguments[0].text, file)
      ts.forEachChild(node, visit)
    }
    visit(source)
  }
  return found
}

/** A template as the key of its translations: `{1}` is the first value. */
function templateOf(template: ts.TemplateLiteral): string {
  if (ts.isNoSubstitutionTemplateLiteral(template)) return template.text
  return template.templateSpans.reduce(
    (text, span, at) => `${text}{${at + 1}}${span.literal.text}`,
    template.head.text,
  )
}

/** Whether a sentence has words at all, and not values and marks alone. */
export const hasWords = (english: string): boolean => /\p{L}{2}/u.test(english.replace(/\{\d+\}/g, ''))

// Every page stands under a policy that takes no other base, sends no form and evaluates no code (CSP level 3, W3C).
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect, it, test } from 'vitest'
import { PAPER_POLICY, pagePolicy } from '../../src/open/gate.js'
import { pageHtml } from '../../src/paper/page.js'

const page = pageHtml({
  lang: 'en-GB',
  title: 'A page',
  css: 'p{margin:0}',
  body: '<p>text</p>',
  scripts: ['document.title'],
})
const ownPolicy = /<meta http-equiv="Content-Security-Policy" content="([^"]*)">/.exec(page)?.[1] ?? ''

const policies = [
  ['a page that is a file', ownPolicy],
  ['the page of an open household', pagePolicy('mark')],
  ['a paper opened from it, beside its own', PAPER_POLICY],
] as const

test.each(policies)('%s takes no other base and sends no form', (_, policy) => {
  const rules = policy.split('; ')
  expect(rules).toContain("base-uri 'none'")
  expect(rules).toContain("form-action 'none'")
  expect(policy).not.toContain('unsafe-')
})

test.each(policies.slice(0, 2))('%s loads nothing from anywhere but itself', (_, policy) => {
  const rules = policy.split('; ')
  expect(rules).toContain("default-src 'none'")
  const sources = rules
    .filter((rule) => /^\S+-src /.test(rule))
    .flatMap((rule) => rule.split(' ').slice(1))
    .filter(
      (source) => !/^'(none|self|sha256-[A-Za-z0-9+/]{43}=|nonce-\w+)'$/.test(source) && source !== 'data:',
    )
  expect(sources).toEqual([])
})

it('the policy stands before all that it is about', () => {
  const head = page.indexOf('<meta http-equiv')
  expect(head).toBeGreaterThan(0)
  expect(page.slice(0, head)).not.toMatch(/<(style|script|link|base|title|body)/)
})

it('no page is written that does not go through there', () => {
  const source = fileURLToPath(new URL('../../src/', import.meta.url))
  const writers = readdirSync(source, { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.c?ts$/.test(file))
    .filter((file) => /<!doctype html/i.test(readFileSync(`${source}${file}`, 'utf8')))
  expect(writers.map((file) => file.replaceAll('\\', '/')).toSorted()).toEqual([
    'open/assets.ts',
    'paper/page.ts',
  ])
})

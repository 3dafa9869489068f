// The editor of one cell.
import { autocompletion, type CompletionContext, completionKeymap } from '@codemirror/autocomplete'
import { defaultKeymap, history, historyKeymap, indentWithTab } from '@codemirror/commands'
import { javascript } from '@codemirror/lang-javascript'
import { bracketMatching, HighlightStyle, indentOnInput, syntaxHighlighting } from '@codemirror/language'
import { setDiagnostics } from '@codemirror/lint'
import { EditorState, Prec } from '@codemirror/state'
import { EditorView, keymap } from '@codemirror/view'
import { tags } from '@lezer/highlight'
import { el } from './dom.js'

export interface EditorFacts {
  readonly code: boolean
  readonly label: string
  readonly change: (text: string) => void
  /** Shift+Enter. */
  readonly run: () => void
  readonly complete: (
    text: string,
    cursor: number,
  ) => Promise<{ readonly matches: readonly string[]; readonly start: number; readonly end: number }>
}

export interface Editor {
  readonly root: HTMLElement
  cursor(): number
  focus(): void
  /** Marks places that the kernel complained about. */
  mark(places: readonly { readonly line: number; readonly column: number; readonly text: string }[]): void
  end(): void
}

/** Inks that are read on white at any size (contrast 7 and more). */
const INK = HighlightStyle.define([
  { tag: [tags.keyword, tags.operatorKeyword, tags.controlKeyword], color: '#17404b', fontWeight: 'bold' },
  { tag: [tags.string, tags.special(tags.string), tags.regexp], color: '#7a2d0f' },
  { tag: [tags.number, tags.bool, tags.null], color: '#4d3900' },
  { tag: [tags.comment], color: '#4c5a5f', fontStyle: 'italic' },
  { tag: [tags.typeName, tags.className], color: '#3b2a63' },
  { tag: [tags.heading], fontWeight: 'bold' },
])

/** An editor with the kernel's completion. Escape and then Tab leaves it by keyboard, as in every editor of its kind. */
export function editor(text: string, facts: EditorFacts): Editor {
  const offered = async (context: CompletionContext) => {
    const word = context.matchBefore(/[\w$.]+/)
    if (!context.explicit && !/\.\w*$/.test(word?.text ?? '')) return null
    const found = await facts.complete(context.state.doc.toString(), context.pos)
    if (found.matches.length === 0) return null
    return {
      from: found.start,
      to: found.end,
      options: found.matches.slice(0, 200).map((label) => ({ label })),
    }
  }
  const view = new EditorView({
    doc: text,
    extensions: [
      // The page's policy allows the one style sheet that the editor makes by this mark.
      EditorView.cspNonce.of(document.querySelector<HTMLMetaElement>('meta[name=style-mark]')?.content ?? ''),
      Prec.highest(keymap.of([{ key: 'Shift-Enter', run: ran(facts.run) }])),
      EditorView.domEventHandlers({ beforeinput: typed }),
      history(),
      indentOnInput(),
      bracketMatching(),
      EditorView.lineWrapping,
      syntaxHighlighting(INK),
      EditorState.tabSize.of(2),
      EditorView.contentAttributes.of({ 'aria-label': facts.label }),
      ...(facts.code ? [javascript({ typescript: true }), autocompletion({ override: [offered] })] : []),
      keymap.of([
        ...completionKeymap,
        ...defaultKeymap,
        ...historyKeymap,
        ...(facts.code ? [indentWithTab] : []),
      ]),
      EditorView.updateListener.of((update) => {
        if (update.docChanged) facts.change(update.state.doc.toString())
      }),
    ],
  })
  return {
    root: el('div', { class: 'editor' }, view.dom),
    cursor: () => view.state.selection.main.head,
    focus: () => view.focus(),
    mark: (places) => {
      const { doc } = view.state
      const found = places
        .filter(({ line }) => line >= 1 && line <= doc.lines)
        .map(({ line, column, text: message }) => {
          const at = doc.line(line)
          const from = Math.min(at.from + column - 1, at.to)
          return { from, to: Math.max(from, at.to), severity: 'error' as const, message }
        })
      view.dispatch(setDiagnostics(view.state, found))
    },
    end: () => view.destroy(),
  }
}

/**
 * Puts in by itself what is typed over a selection. The browser would keep the look of what was selected by a style
 * written into the element, which the page's policy refuses, with an error in the console at every such keystroke.
 */
function typed(event: InputEvent, view: EditorView): boolean {
  const { state } = view
  if (event.isComposing || event.inputType !== 'insertText' || event.data === null) return false
  if (state.selection.ranges.every(({ empty }) => empty)) return false
  view.dispatch(state.replaceSelection(event.data), { userEvent: 'input.type', scrollIntoView: true })
  return true
}

/** A key's command that is always carried out. */
const ran = (act: () => void) => (): boolean => {
  act()
  return true
}

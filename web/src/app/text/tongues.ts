/**
 * Words that a reader of another language gets in English, for want of a translation: they are read
 * aloud as English (`lang`). The desk and the report do the same (server/bradawl/language/tongues.py).
 */

import { type ComponentChild, type ComponentChildren, h, options } from "preact";

/** The language in which everything is written first. */
const ENGLISH = "en-US";
/** Stands after a checklist's text that has no translation (language/checklist_texts.py). */
export const MARK = " [en]";
// around such words: private-use characters, which nobody sees
const OPEN = "\ue010";
const CLOSE = "\ue011";
const EDGES = /[\ue010\ue011]/g;
/** What holds no elements, so that its text has one language. */
const TEXT_ONLY = ["option", "title", "textarea"];

/** These words are English, whatever stands around them. */
export function inEnglish(words: string): string {
  return words === "" ? words : OPEN + words + CLOSE;
}

/** The text where nothing can say its language: an attribute, the title of a window. */
export function bare(text: string): string {
  return text.replace(EDGES, "");
}

/** An argument of a sentence: a checklist's text that has no translation is known by its mark. */
export function known(argument: unknown): unknown {
  const isMarked = typeof argument === "string" && argument.endsWith(MARK);
  return isMarked && !argument.includes(OPEN) ? inEnglish(argument) : argument;
}

/** The pieces of a text, each English or not. */
function pieces(text: string): { words: string; isEnglish: boolean }[] {
  const found: { words: string; isEnglish: boolean }[] = [];
  let depth = 0;
  for (const part of (text.includes(OPEN) ? text : String(known(text))).split(/([\ue010\ue011])/)) {
    if (part === OPEN) depth += 1;
    else if (part === CLOSE) depth = Math.max(depth - 1, 0);
    else if (part !== "") found.push({ words: part, isEnglish: depth > 0 });
  }
  return found;
}

function spelled(child: ComponentChild): ComponentChildren {
  if (typeof child !== "string" || !(child.includes(OPEN) || child.endsWith(MARK))) return child;
  return pieces(child).map(({ words, isEnglish }) =>
    isEnglish ? h("span", { lang: ENGLISH }, words) : words,
  );
}

/** From now on every element says which of its words are English. */
export function sayLanguages(): void {
  const before = options.vnode;
  options.vnode = (vnode) => {
    const { type, props } = vnode as { type: unknown; props: Record<string, unknown> };
    if (typeof type === "string" && props.lang === undefined) spellElement(type, props);
    before?.(vnode);
  };
}

function spellElement(type: string, props: Record<string, unknown>): void {
  const children = props.children as ComponentChildren;
  for (const [name, value] of Object.entries(props)) {
    if (typeof value !== "string" || name === "children") continue;
    if (value.includes(OPEN)) props[name] = bare(value);
  }
  if (typeof children === "string") {
    const parts = pieces(children);
    if (TEXT_ONLY.includes(type)) props.children = bare(children);
    else if (parts.length === 1 && parts[0]?.isEnglish) {
      props.lang = ENGLISH;
      props.children = parts[0].words;
    } else props.children = spelled(children);
  } else if (Array.isArray(children) && children.some((child) => spelled(child) !== child)) {
    props.children = TEXT_ONLY.includes(type)
      ? children.map((child) => (typeof child === "string" ? bare(child) : child))
      : children.map(spelled);
  }
}

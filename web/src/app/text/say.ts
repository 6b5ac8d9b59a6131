/**
 * Says what the judge left unsaid: message ids with exact arguments (contract.ts).
 * The desk and the report say the same with server/bradawl/language/say.py; tests/language/say.json
 * holds both to one table.
 */

import type { FluentVariable } from "@fluent/bundle";
import type { Item, Rules, Said, SaidArgument, SaidNumber } from "../../shared/contract";
import type { Json } from "../../shared/event";
import type { MessageId } from "../../shared/said";
import { catalogue, GAP, MessageError, marked, PSEUDO_LOCALE } from "./catalogue";
import { dateText, money } from "./formats";
import { decimal, fromBase, isUnit, unitFor } from "./measures";
import { placeName, withUnit } from "./names";
import { CURRENCY_OF, chosenUnits, region } from "./region";
import { inEnglish, MARK } from "./tongues";

/** A checklist's rules: whose titles and reasons a sentence names. */
export type Texts = Partial<Rules> & {
  /** For readers of another language, by id and by the English text. */
  symptoms?: Record<string, Record<string, string>>;
};

/**
 * The sentences, in this reader's language and units; `texts` are the checklist's rules. What
 * another version of the judge said, and these words do not know, is said as far as it can be.
 */
export function say(said: Said, texts: Texts): string {
  const args: Record<string, FluentVariable> = {};
  for (const [name, value] of Object.entries(said.args ?? {})) args[name] = argument(value, texts);
  const further = (said.then ?? []).map((sentence) => say(sentence, texts));
  return [first(said.id, args), ...further].join(" ");
}

function first(id: string, args: Record<string, FluentVariable>): string {
  const known = Object.values(args).filter((value) => value !== GAP);
  if (catalogue.has(id) || known.length === 0) return catalogue.find(id, args);
  catalogue.tell(new MessageError(`${id}: no such message`));
  return catalogue.find("shared-no-words-of", { what: known.join(", ") });
}

/**
 * One argument of a sentence as this reader sees it; a count stays a number. A gap for what cannot
 * be read: another version of the judge may name a unit or a kind that is not known here.
 */
export function argument(value: SaidArgument, texts: Texts): string | number {
  try {
    return read(value, texts);
  } catch (problem) {
    catalogue.tell(new MessageError(`an argument ${JSON.stringify(value)}: ${problem}`));
    return GAP;
  }
}

function read(value: SaidArgument, texts: Texts): string | number {
  if (typeof value !== "object") return value;
  if ("number" in value) return measure(value);
  if ("money" in value) return money(value.money, value.currency || CURRENCY_OF[region.value]);
  if ("date" in value) return dateText(value.date);
  if ("term" in value) {
    if (!catalogue.has(value.term)) throw new MessageError(value.term);
    return catalogue.find(value.term);
  }
  if ("place" in value) return placeName(value.place);
  if ("list" in value) {
    return listed(
      value.list.map((part) => String(argument(part, texts))),
      value.last,
    );
  }
  if ("said" in value) return say(value.said, texts);
  const name = "fact" in value ? factName(value.fact) : title(value.checklist, texts);
  if (value.at === undefined) return name;
  return catalogue.find("judge-at", { name, place: placeName(value.at) });
}

function factName(fact: string): string {
  const id = `judge-fact-${fact.replaceAll("_", "-")}`;
  return catalogue.has(id) ? catalogue.find(id) : fact.replaceAll(/[-_]/g, " ");
}

/** What a tap recorded in place of words (judge/values/saying.py `recorded`). */
export type Chip = { term: MessageId } | { checklist: ["why", string, string] };

/** The reasons that a checklist offers for an item. */
export function whysOf({ id, whys }: Item, texts: Texts): Chip[] {
  const english = Object.keys(texts.items?.[id]?.whys ?? {});
  return (english.length > 0 ? english : whys).map((why) => ({ checklist: ["why", id, why] }));
}

/** What was recorded in words: as typed, or what was tapped, as this reader says it. */
export function recordedText(value: Json, texts: Texts): string {
  if (typeof value === "string" || typeof value === "number") return String(value);
  if (typeof value !== "object" || value === null || Array.isArray(value)) return "";
  const { term, checklist, titles, cause } = value;
  if (typeof term === "string" && term.startsWith("chip-") && catalogue.has(term)) {
    return catalogue.find(term);
  }
  for (const path of [checklist, titles]) {
    if (!Array.isArray(path) || !path.every((part) => typeof part === "string")) continue;
    if (path === checklist) return title(path, texts);
    const ids = Array.isArray(cause) ? cause.map(String) : [];
    const kinds = [
      ["symptom", ...ids.slice(0, 1), path[0] ?? ""],
      ["cause", ...ids, path[1] ?? ""],
    ];
    return kinds.map((kind) => title(kind, texts)).join(": ");
  }
  return "";
}

/** A text of the checklist by its kind and ids; the last id where the checklist lacks it. */
function title(path: string[], texts: Texts): string {
  const [kind = "", ...ids] = path;
  const [first = "", second = ""] = ids;
  const last = ids.at(-1) ?? "";
  if (kind === "combination") {
    return texts.combinations?.find(({ id }) => id === first)?.reason ?? last;
  }
  if (kind === "conflict") {
    return texts.conflicts?.find(({ uses }) => uses.join() === ids.join())?.reason ?? last;
  }
  if (kind === "contradiction") {
    return texts.contradictions?.find(({ id }) => id === first)?.question ?? last;
  }
  const { areas: area, baseline, histories: history, claims: claim } = texts;
  const { lookups: lookup, wants: want } = texts;
  const tables: Record<string, { id: string; title: string }[] | undefined> = {
    ...{ area, baseline, history, claim, lookup, want },
  };
  if (kind in tables) return tables[kind]?.find(({ id }) => id === first)?.title ?? last;
  if (kind === "symptom") return tableTitle(`symptoms/${first}/title`, last, texts);
  if (kind === "cause") return tableTitle(`symptoms/${first}/causes/${second}`, last, texts);
  const rule = texts.items?.[first];
  // its own words stand beside what no checklist has
  if (kind === "item") return rule?.title || last;
  // named by its English text, which a translated checklist may say
  if (kind === "why") return rule?.whys?.[last] ?? last;
  const rows = { reading: rule?.readings, choice: rule?.choices, remedy: rule?.remedies }[kind];
  return rows?.find(({ id }) => id === second)?.title || second.replaceAll(/[-_]/g, " ");
}

/** What the desk's tables call a thing: recorded by id and in English, said as it is translated. */
function tableTitle(name: string, english: string, { symptoms }: Texts): string {
  if (catalogue.locale === PSEUDO_LOCALE) return marked(english);
  if (!catalogue.isForeign) return english;
  return symptoms?.[name]?.[english] ?? inEnglish(english + MARK);
}

/** A measure in this reader's unit, rounded once; in the unit that was typed, as it was typed. */
function measure(value: SaidNumber): string {
  if (!isUnit(value.unit)) throw new MessageError(value.unit);
  const wanted = value.fixed ? value.unit : wantedUnit(value);
  let figure = wanted === value.unit ? (value.typed ?? "") : "";
  if (figure === "") {
    const isStepped = value.step !== undefined && wanted !== value.unit;
    figure = isStepped ? stepped(value.number, wanted, value.step) : fromBase(value.number, wanted);
  }
  return withUnit(figure.includes("/") ? figure : decimal(figure), wanted);
}

/** The unit that this person chose for such a reading, else that of the region's trade. */
function wantedUnit({ unit, offered = [], like = "" }: SaidNumber): string {
  const kind = [like, ...offered].join(" ");
  for (const [chosenFor, chosen] of Object.entries(chosenUnits.value)) {
    if (offered.includes(chosen) && `${chosenFor} `.startsWith(`${kind} `)) return chosen;
  }
  return unitFor(unit, offered);
}

/** The nearest multiple of `step` whole units: 50 km, in steps of five miles, are 30 mi. */
function stepped(base: string, unit: string, step = 1): string {
  const [over = "0", under = "1"] = base.split("/");
  const steps = fromBase(`${over}/${BigInt(under) * BigInt(step)}`, unit);
  return String(Math.round(Number(steps)) * step);
}

function listed(parts: string[], last: "and" | "or"): string {
  if (catalogue.locale === PSEUDO_LOCALE) return parts.join(" · ");
  const type = last === "or" ? "disjunction" : "conjunction";
  return new Intl.ListFormat(catalogue.formats, { type }).format(parts);
}

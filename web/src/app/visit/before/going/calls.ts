/**
 * Calls in a record: `calls/<id>` says when and with whom, `calls/<id>/<question>` what was said that
 * no check can tell. An answer that one can tell is a claim like any other, named after its question:
 * `claims/<id>-<question>-<answer>/…`.
 */

import type { CallAnswer, CallQuestion } from "../../../../shared/contract";
import type { Cells, Json } from "../../../../shared/event";
import { newId } from "../../../../store/encoding";
import { TELLERS, type Teller, whoValue } from "../../offer/claims";
import type { Change } from "../../visit";

const ID_LETTERS = 12;

export interface Call {
  id: string;
  date: string;
  who: Teller;
  name: string;
}

/** What was said to one question. */
export interface Answered {
  answers: string[];
  words: string;
}

export function isAnswered({ answers, words }: Answered): boolean {
  return answers.length > 0 || words !== "";
}

function texts(value: Json | undefined): Record<string, string> {
  if (typeof value !== "object" || value === null || Array.isArray(value)) return {};
  return Object.fromEntries(
    Object.entries(value).filter((pair): pair is [string, string] => typeof pair[1] === "string"),
  );
}

export function newCall(date: string): Call {
  return { id: newId().slice(0, ID_LETTERS), date, who: "seller", name: "" };
}

/** The calls of a visit, the latest last. */
export function callsOf(cells: Cells): Call[] {
  return Object.entries(cells)
    .flatMap(([put, { value, at }]) => {
      const [area, id, ...rest] = put.split("/");
      if (area !== "calls" || id === undefined || rest.length > 0 || value === null) return [];
      const { role, name = "", date = "" } = texts(value);
      return [{ id, date, name, at, who: TELLERS.find((one) => one === role) ?? "other" }];
    })
    .sort((a, b) => (`${a.date} ${a.at}` < `${b.date} ${b.at}` ? -1 : 1))
    .map(({ at: _, ...call }) => call);
}

/** What says when and with whom somebody spoke; the claims that were made on it say so too. */
export function tellCall(cells: Cells, call: Call): Change[] {
  const start = `claims/${call.id}-`;
  const own = new Set(
    Object.keys(cells).flatMap((put) =>
      put.startsWith(start) && put.endsWith("/kind") && cells[put]?.value !== null
        ? [put.slice(0, -"/kind".length)]
        : [],
    ),
  );
  return [
    {
      put: `calls/${call.id}`,
      value: { ...(whoValue(call.who, call.name) as object), date: call.date },
    },
    ...[...own].flatMap((claim) => [
      { put: `${claim}/who`, value: whoValue(call.who, call.name) },
      { put: `${claim}/date`, value: call.date },
    ]),
  ];
}

function claimAt(call: Call, question: CallQuestion, answer: CallAnswer): string {
  return `claims/${call.id}-${question.id}-${answer.id}`;
}

export function answered(cells: Cells, call: Call, question: CallQuestion): Answered {
  const value = cells[`calls/${call.id}/${question.id}`]?.value;
  const noted = (value as { answers?: Json } | null | undefined)?.answers;
  const told = Array.isArray(noted) ? noted : [];
  const found: Answered = { answers: [], words: texts(value).words ?? "" };
  for (const answer of question.answers) {
    const start = claimAt(call, question, answer);
    const isClaim = answer.claim !== undefined && cells[`${start}/kind`]?.value === answer.claim;
    if (!isClaim && !told.includes(answer.id)) continue;
    found.answers.push(answer.id);
    const words = cells[`${start}/words`]?.value;
    if (found.words === "" && isClaim && typeof words === "string") found.words = words;
  }
  return found;
}

/** What records the answer to a question in place of the one before. */
export function answer(cells: Cells, call: Call, question: CallQuestion, to: Answered): Change[] {
  const wanted: Change[] = [];
  const notes: string[] = [];
  let hasClaim = false;
  for (const one of question.answers) {
    const isChosen = to.answers.includes(one.id);
    const start = claimAt(call, question, one);
    if (one.claim === undefined) {
      if (isChosen) notes.push(one.id);
    } else if (isChosen) {
      hasClaim = true;
      wanted.push(
        { put: `${start}/kind`, value: one.claim },
        { put: `${start}/who`, value: whoValue(call.who, call.name) },
        { put: `${start}/date`, value: call.date },
        { put: `${start}/words`, value: to.words || null },
      );
    } else {
      const below = Object.keys(cells).filter((put) => put.startsWith(`${start}/`));
      wanted.push(...below.map((put) => ({ put, value: null })));
    }
  }
  const isNoted = notes.length > 0 || (to.words !== "" && !hasClaim);
  wanted.push({
    put: `calls/${call.id}/${question.id}`,
    value: isNoted ? { answers: notes, words: to.words } : null,
  });
  const stands = (put: string) => JSON.stringify(cells[put]?.value ?? null);
  const isKnown = (cells[`calls/${call.id}`]?.value ?? null) !== null;
  return [
    ...(isKnown ? [] : tellCall({}, call)),
    ...wanted.filter(({ put, value }) => JSON.stringify(value) !== stands(put)),
  ];
}

/** What was tapped: one of several answers replaces the other, a second tap takes it back. */
export function tapped(question: CallQuestion, before: Answered, id: string): Answered {
  const { answers, words } = before;
  if (answers.includes(id)) return { answers: answers.filter((one) => one !== id), words };
  return { answers: question.many ? [...answers, id] : [id], words };
}

/** The answers of a call that speak against going there, each with its question. */
export function against(
  cells: Cells,
  call: Call,
  questions: readonly CallQuestion[],
): { question: CallQuestion; answer: CallAnswer }[] {
  return questions.flatMap((question) => {
    const { answers } = answered(cells, call, question);
    return question.answers
      .filter(({ id, against: isBad }) => isBad && answers.includes(id))
      .map((one) => ({ question, answer: one }));
  });
}

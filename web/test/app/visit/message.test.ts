/** What a partner is told: judged facts, and without money no amount, whoever wrote it. */

import { expect, test } from "vitest";
import { spoken, voiceOf } from "../../../src/app/screens/decision/spoken";
import { namesAmount, paragraph, photosToTell } from "../../../src/app/screens/tell/message";
import type { Visit } from "../../../src/app/visit/visit";
import type { Assessment } from "../../../src/shared/contract";

const usd = (money: number) => ({ money, currency: "USD" });
const OWN = "brakes.own-12345678";

function visitWith(title: string): Visit {
  const records: Record<string, string> = {
    "car/year": "1988",
    "car/make": "Granther",
    "car/model": "Adze",
    "about/name": "the $900 pickup",
  };
  const photos: Record<string, string[]> = {
    [OWN]: ["a1".repeat(32)],
    "papers.title": ["b2".repeat(32)],
    "rust.frame": ["c3".repeat(32), "d4".repeat(32)],
  };
  const items = [
    { id: "rust.frame", title: "Frame", where: "both rails", on_car: ["underside-front"] },
    { id: "papers.title", title: "Title", where: "", on_car: [] },
  ];
  return {
    bundle: {
      areas: [{ id: "brakes", title: "Brakes" }],
      items,
      rules: { items: { [OWN]: { title }, "rust.frame": { title: "Frame" } } },
    },
    item: (id: string) => items.find((one) => one.id === id),
    own: { value: [{ id: OWN, area: "brakes", title }] },
    text: (put: string) => records[put] ?? "",
    value: () => null,
    judged: () => ({ reasons: [] }),
    cellsOf: (id: string) =>
      Object.fromEntries(
        (photos[id] ?? []).map((sha) => [
          `items/${id}/photos/${sha}`,
          { value: { caption: "" }, at: "", others: [] },
        ]),
      ),
  } as unknown as Visit;
}

const title = (id: string) => ({ checklist: ["item", id] });
const JUDGED = {
  findings: [OWN, "rust.frame", "papers.title"],
  items: {
    [OWN]: { grade: "dangerous" },
    "rust.frame": { grade: "minor", measured: "dangerous" },
    "papers.title": { grade: "major" },
  },
  drive_home: {
    said: {
      id: "judge-answer-trailer-dangerous",
      args: { items: { list: [title(OWN)], last: "and" } },
    },
    reasons: [
      { item: OWN, seen: true, said: { id: "judge-own-untitled" } },
      { item: "road.stop", seen: false, said: { id: "judge-own-untitled" } },
    ],
  },
  decision: {
    overruled: [{ item: "rust.frame", said: { id: "judge-own-untitled" } }],
    answers: {
      buy: [{ item: "", said: { id: "judge-buy-up-to", args: { top: usd(2450) } } }],
      price: [{ item: "", said: { id: "judge-spoken-price-alone", args: { top: usd(2450) } } }],
      drive: [
        {
          item: "",
          said: {
            id: "judge-answer-trailer-dangerous",
            args: { items: { list: [title(OWN)], last: "and" } },
          },
        },
      ],
      now: [{ item: "", said: { id: "judge-buy-walk" } }],
    },
  },
  money: {
    currency: "USD",
    totals: { expected: 1234 },
    price: {
      ...{ asking: 3333, walk_away: 2450 },
      said: { id: "judge-price-unknown" },
      arguments: [
        {
          ...{ id: "x", item: OWN, covers: [OWN], amount: 1234, group: "safety" },
          said: { id: "judge-argument", args: { title: "Fix", cost: usd(1234) } },
        },
      ],
      groups: [{ group: "safety", amount: 1234, count: 1 }],
    },
  },
  coverage: { said: { id: "judge-buy-too-little" } },
} as unknown as Assessment;

test("the paragraph has car, answers, dangers with their places, and how much was seen", () => {
  const said = paragraph(visitWith("Hose rubbed through"), JUDGED, true);
  expect(said).toBe(
    "1988 Granther Adze: Buy it up to $2,450. Trailer it. Unsafe: Hose rubbed through. " +
      "Asking $3,333. Walk away. Unsafe: Hose rubbed through, Frame (both rails). " +
      "Reasons to pay less: Safety $1,250; together $1,250. Haven't seen enough to say. " +
      "Counted is what was looked at or measured; what somebody said is not. " +
      "No substitute for a licensed inspection.",
  );
});

test("without money no amount goes out: no sum, no price, none that somebody typed", () => {
  for (const typed of ["Hose, shop wants $900", "Hose, 900 bucks", "Hose 1,300 to fix"]) {
    const said = paragraph(visitWith(typed), JUDGED, false);
    expect(said).not.toMatch(/\p{Sc}|\b(900|1,300|2,450|3,333|1,234|1,250)\b/u);
    expect(said).toContain("Trailer it. Unsafe: Brakes.");
    expect(said).toContain("Unsafe: Brakes, Frame (both rails).");
  }
  // a finding's words without an amount stay
  expect(paragraph(visitWith("Hose rubbed through"), JUDGED, false)).toContain("Hose rubbed");
});

test("what may be an amount is known by figure, sign or word, and a size is none", () => {
  for (const typed of ["$9", "9€", "asks 900", "2k firm", "12 grand", "1.300,-", "5 bucks"]) {
    expect(namesAmount(typed), typed).toBe(true);
  }
  for (const typed of ["hole by the left rail", "2 of 4 bolts", "M8 bolt gone", ""]) {
    expect(namesAmount(typed), typed).toBe(false);
  }
});

test("photos: one of each reason first, then the others; papers only with money", () => {
  const visit = visitWith("Hose");
  const [hose, paper, frame, again] = ["a1", "b2", "c3", "d4"].map((two) => two.repeat(32));
  expect(photosToTell(visit, JUDGED, false)).toEqual([hose, frame, again]);
  expect(photosToTell(visit, JUDGED, true)).toEqual([hose, frame, paper, again]);
});

test("read aloud: four answers, then the reasons, in the order of the screen", () => {
  expect(spoken(visitWith("Hose"), JUDGED).slice(0, 8)).toEqual([
    ...["Buy it?", "Buy it up to $2,450.", "Drive it?", "Trailer it. Unsafe: Hose."],
    ...["Top price?", "Buy it up to $2,450.", "Now?", "Walk away."],
  ]);
});

test("a voice is one of this phone's own, in the app's language", () => {
  const voice = (lang: string, localService: boolean) =>
    ({ lang, localService }) as SpeechSynthesisVoice;
  expect(voiceOf([], "en-US")).toBe(null);
  expect(voiceOf([voice("en-US", false), voice("de-DE", true)], "en-US")).toBe(null);
  const british = voice("en_GB", true);
  expect(voiceOf([voice("de-DE", true), british], "en-US")).toBe(british);
  const own = voice("en-US", true);
  expect(voiceOf([british, own], "en-US")).toBe(own);
});

/** Pages over one storage, as two tabs of a phone are: what one records, the other shows. */

import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { lockVisit } from "../../../src/app/screens/sign/locking";
import { OpenVisit } from "../../../src/app/state/open-visit";
import type { Page } from "../../../src/app/state/page";
import { PendingInput } from "../../../src/app/state/pending-input";
import { newWayOut } from "../../../src/app/state/seller-mode";
import { text } from "../../../src/app/text/catalogue";
import { countAmendments } from "../../../src/app/visit/sealing";
import type { Visit } from "../../../src/app/visit/visit";
import type { Ask } from "../../../src/shared/judge-messages";
import { message } from "../../../src/shared/said";
import { begin, closePages, eventually, newAppPhone, newPage, realJudge, visitId } from "../pages";

let page: Page;
let visit: Visit;

beforeEach(async () => {
  // no server: nothing is sent, and nothing is waited for
  vi.stubGlobal("fetch", () => Promise.reject(new TypeError("no network")));
  page = await newAppPhone();
  visit = await begin(page);
});
afterEach(async () => {
  await closePages();
  vi.unstubAllGlobals();
});

const PADS = "items/brakes.pads/grade";
const minor = { put: PADS, value: { grade: "minor" } };

describe("the first question", () => {
  test("is answered on the disk before the screen goes on", async () => {
    const answered = page.state.setRegion("eu");
    expect(page.state.preferences.value.region).toBe("");
    await answered;
    expect(page.state.preferences.value.region).toBe("eu");
    const next = newPage(); // the app, closed and opened again
    await next.state.readPreferences();
    expect(next.state.preferences.value.region).toBe("eu");
  });
});

describe("two pages over one storage", () => {
  test("what one records, the other shows, and neither shares what it has in memory", async () => {
    const other = newPage();
    await other.open.show(visitId);
    await visit.put([minor], "Pads: Minor.");
    await eventually(() => expect(other.open.visit.value?.value(PADS)).toEqual({ grade: "minor" }));
    await eventually(() => expect(page.state.notice.value?.text).toBe("Pads: Minor."));
    expect(other.state.notice.value).toBeNull();
    expect(other.log.unsentHere()).toBe(0);
    expect(page.log.unsentHere()).toBe(2);
  });

  test("both write one chain, whoever taps", async () => {
    const other = newPage();
    await other.open.show(visitId);
    const theirs = other.open.visit.value as Visit;
    for (let n = 0; n < 4; n += 1) {
      await Promise.all([
        visit.put([{ put: "car/make", value: `Tarn ${n}` }]),
        theirs.put([{ put: "car/model", value: `Nine ${n}` }]),
      ]);
    }
    const { device } = await page.log.identity.get();
    const events = await page.log.chains.events(device, 1);
    expect(events.map(({ seq }) => seq)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9]);
  });
});

describe("a change", () => {
  test("shows when it is stored, and its undo brings back what stood before", async () => {
    await visit.put([minor], "first");
    await visit.put([{ put: PADS, value: { grade: "major" } }], "second");
    await eventually(() => expect(page.state.notice.value?.text).toBe("second"));
    await page.state.notice.value?.undo?.();
    expect(visit.value(PADS)).toEqual({ grade: "minor" });
    expect(page.state.notice.value).toEqual({ text: text("phone-undone"), undo: null });
  });

  test("that finds no room shows nothing, raises the alarm and can be tried again", async () => {
    const full = vi
      .spyOn(page.log, "append")
      .mockRejectedValueOnce(new DOMException("full", "QuotaExceededError"));
    expect(await visit.put([minor], "Pads: Minor.")).toBe(false);
    expect(visit.value(PADS)).toBeNull();
    expect(page.state.alarm.value?.said).toEqual(message("phone-alarm-quota"));
    full.mockRestore();
    page.state.alarm.value?.again?.();
    await eventually(() => expect(visit.value(PADS)).toEqual({ grade: "minor" }));
    expect(page.state.alarm.value).toBeNull();
  });

  test("that the record cannot hold is refused in its own sentence, and not tried again", async () => {
    expect(await visit.put([{ put: "car/make", value: "x".repeat(70_000) }])).toBe(false);
    expect(page.state.alarm.value?.said).toEqual(message("phone-error-too-long"));
    expect(page.state.alarm.value?.again).toBeNull();
  });

  test("of many items is left to the judge of the whole visit", async () => {
    const questions: string[] = [];
    const counted = await newAppPhone((question) => {
      questions.push(question.ask);
      return realJudge(question);
    });
    const opened = await begin(counted);
    const grades = opened.items.value.map(({ id }) => ({
      put: `items/${id}/grade`,
      value: { grade: "none" },
    }));
    await opened.put(grades);
    expect(questions.filter((kind) => kind === "item")).toEqual([]);
    await opened.put(grades.slice(0, 2));
    await eventually(() => expect(questions.filter((kind) => kind === "item")).toHaveLength(2));
  });
});

describe("what the judge says", () => {
  /** A phone whose judge answers when the test says so; each question waits in its list. */
  async function withSlowJudge() {
    const waiting: { kind: string; answer: (of: unknown) => void }[] = [];
    const slow = (async (question: { ask: string }) =>
      question.ask === "item" || question.ask === "assess"
        ? new Promise((resolve) => waiting.push({ kind: question.ask, answer: resolve }))
        : realJudge(question as never)) as unknown as Ask;
    const opened = await begin(await newAppPhone(slow));
    const asked = async (kind: string, n: number) => {
      const of = () => waiting.filter((question) => question.kind === kind);
      await eventually(() => expect(of().length).toBeGreaterThan(n));
      return of()[n] as (typeof waiting)[0];
    };
    return { opened, asked };
  }
  const graded = (grade: string) => ({ item: { grade } });

  test("of an earlier tap does not show over a later one, however late it comes", async () => {
    const { opened, asked } = await withSlowJudge();
    await opened.put([minor]);
    await opened.put([{ put: PADS, value: { grade: "major" } }]);
    const [first, second] = [await asked("item", 0), await asked("item", 1)];
    second.answer(graded("major"));
    await eventually(() => expect(opened.judged("brakes.pads")?.grade).toBe("major"));
    first.answer(graded("minor"));
    await new Promise((resolve) => setTimeout(resolve));
    expect(opened.judged("brakes.pads")?.grade).toBe("major");
  });

  test("of a whole that has changed meanwhile is not shown, and the next is", async () => {
    const { opened, asked } = await withSlowJudge();
    const gone = opened.watch();
    const old = await asked("assess", 0);
    await opened.put([minor]);
    old.answer({ assessment: { items: {}, areas: [], text: "old" } });
    await new Promise((resolve) => setTimeout(resolve));
    expect(opened.assessment.value).toBeNull();
    const now = await asked("assess", 1);
    now.answer({ assessment: { items: {}, areas: [], text: "now" } });
    await eventually(() => expect(opened.assessment.value).toMatchObject({ text: "now" }));
    gone();
  });
});

describe("signing", () => {
  const open = { unchecked: 2, disputed: 1, unsorted: 0 };
  const given = {
    name: "Ada Example",
    strokes: [[1, 2]],
    box: [300, 120] as [number, number],
    open,
  };
  const verdict = { buy: "up_to", drive: "trailer", top_price: 2900, currency: "USD" };
  beforeEach(() => {
    vi.spyOn(visit, "verdict").mockResolvedValue(verdict);
  });

  test("the verdict is written before the seal, which covers it", async () => {
    await lockVisit(visit, { ...given, place: "Yard" });
    const { device } = await page.log.identity.get();
    const events = await page.log.chains.events(device, 1);
    const place = events.findIndex(({ put }) => put === "verdict/signed");
    const cells = await page.log.rows.cellsOf(visit.id);
    expect(cells["verdict/signed"]?.value).toEqual(verdict);
    const through = visit.seals()[0]?.value.through as Record<string, number>;
    expect(through[device]).toBeGreaterThan(place);
  });

  test("what is open is said in the lock, which needs no drawn signature and no place", async () => {
    await lockVisit(visit, { ...given, strokes: [], box: [0, 0], place: "" });
    expect(visit.seals()[0]?.value).toMatchObject({ open, strokes: [], name: "Ada Example" });
    expect(visit.text("about/place")).toBe("");
  });

  test("a second signature has a number of its own, and the first one stays", async () => {
    await lockVisit(visit, { ...given, place: "Yard" });
    await visit.put([minor]);
    await lockVisit(visit, { ...given, name: "Bea Example", place: "Yard" });
    const seals = visit.seals();
    expect(seals.map(({ n, value }) => [n, value.name])).toEqual([
      [1, "Ada Example"],
      [2, "Bea Example"],
    ]);
    const { device } = await page.log.identity.get();
    const events = await page.log.chains.events(device, 1);
    expect(events.filter(({ put }) => put.startsWith("seal/")).map(({ put }) => put)).toEqual([
      "seal/1",
      "seal/2",
    ]);
  });

  test("the place is an entry of its own, once; the seal does not name it", async () => {
    await lockVisit(visit, { ...given, place: "Yard" });
    expect(visit.text("about/place")).toBe("Yard");
    expect(JSON.stringify(visit.seals())).not.toContain("Yard");
    const { device } = await page.log.identity.get();
    await lockVisit(visit, { ...given, place: "Yard" });
    const places = (await page.log.chains.events(device, 1)).filter(
      ({ put }) => put === "about/place",
    );
    expect(places).toHaveLength(1);
  });

  test("what came after the last seal is counted, the seal itself is not", async () => {
    expect(await countAmendments(visit)).toBe(0);
    await lockVisit(visit, { ...given, place: "Yard" });
    expect(await countAmendments(visit)).toBe(0);
    await visit.put([minor, { put: "items/brakes.pads/note", value: "worn" }]);
    expect(await countAmendments(visit)).toBe(2);
  });

  test("a place that could not be stored leaves the visit unsigned", async () => {
    vi.spyOn(page.log, "append").mockRejectedValueOnce(new DOMException("full", "AbortError"));
    await expect(lockVisit(visit, { ...given, place: "Yard" })).rejects.toThrow(
      "phone-alarm-write",
    );
    expect(visit.seals()).toEqual([]);
  });
});

describe("which visit is open", () => {
  test("the one asked for last, however long another takes to open", async () => {
    const waiting = new Map<string, (of: Visit) => void>();
    const open = new OpenVisit((id) => new Promise((resolve) => waiting.set(id, resolve)));
    const [first, second] = [open.show("first"), open.show("second")];
    waiting.get("second")?.({ id: "second" } as Visit);
    waiting.get("first")?.({ id: "first" } as Visit);
    await Promise.all([first, second]);
    expect(open.visit.value?.id).toBe("second");
  });

  test("one that failed is tried again when it is asked for again, an open one is not", async () => {
    let attempts = 0;
    const open = new OpenVisit(async (id) => {
      attempts += 1;
      if (attempts === 1) throw new Error("no checklist");
      return { id } as Visit;
    });
    await open.show("one");
    expect(open.problem.value).toBe("no checklist");
    await open.show("one");
    await open.show("one");
    expect([open.problem.value, open.visit.value?.id, attempts]).toEqual([null, "one", 2]);
    await open.show(null);
    expect(open.visit.value).toBeNull();
  });
});

test("what a seller sees outlives the page, and the way out is three different digits", async () => {
  await page.sellerMode.show(visitId);
  const restarted = newPage();
  await restarted.sellerMode.restore();
  expect(restarted.sellerMode.visit.value).toBe(visitId);
  for (let n = 0; n < 50; n += 1) {
    const order = newWayOut();
    expect(new Set(order).size).toBe(3);
    expect(order.every((digit) => /^[1-9]$/.test(digit))).toBe(true);
  }
});

test("what is typed is recorded as the page is hidden, unless its field is gone", () => {
  const heard = new Map<string, () => void>();
  const target = { addEventListener: (kind: string, hear: () => void) => heard.set(kind, hear) };
  const document = { ...target, visibilityState: "visible" };
  const input = new PendingInput();
  const recorded: string[] = [];
  input.add(() => recorded.push("kept"));
  const takeBack = input.add(() => recorded.push("gone"));
  takeBack();
  input.follow(document as unknown as Document, target as unknown as Window);
  heard.get("visibilitychange")?.();
  expect(recorded).toEqual([]);
  document.visibilityState = "hidden";
  heard.get("visibilitychange")?.();
  heard.get("pagehide")?.();
  expect(recorded).toEqual(["kept", "kept"]);
});

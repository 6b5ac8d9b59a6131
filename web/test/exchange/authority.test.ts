/** What a phone tells of the server's certificate authority: when, when no more, and how often. */

import { beforeEach, expect, test, vi } from "vitest";
import { message } from "../../src/shared/said";
import {
  type AuthorityAnswer,
  type AuthorityKept,
  AuthorityWatch,
  keepAnswer,
  NOTHING_HEARD,
  notesOf,
  readAnswer,
} from "../../src/store/exchange/authority";
import { Refused, trustNow, Unreachable } from "../../src/store/exchange/server-api";
import { newPhone, newTab, type Tab } from "../store/store";

const A = { name: "Tarn Workshop 2026", sha256: "a".repeat(64) };
const B = { name: "Tarn Workshop 2027", sha256: "b".repeat(64) };
const HOUR_MS = 3_600_000;
const at = (day: string) => Date.parse(`${day}T12:00:00Z`);

function answer(change: Partial<AuthorityAnswer> = {}): AuthorityAnswer {
  return {
    authority: A,
    next: null,
    former: [],
    first_page: "http://192.168.1.5:8080/",
    ...change,
  };
}

const coming = answer({ next: { ...B, takes_over: "2027-01-20" } });
const over = answer({ authority: B, former: [{ ...A, until: "2027-01-20" }] });

const kinds = (kept: AuthorityKept, now: string, answered = now) =>
  notesOf(kept, at(now), at(answered)).map(({ kind }) => kind);

test("the next authority is told of, with its day, until the person says that it is trusted", () => {
  const kept = keepAnswer(NOTHING_HEARD, coming);
  expect(notesOf(kept, at("2026-12-05"), at("2026-12-05"))).toEqual([
    { kind: "next", ...B, day: "2027-01-20", opened: false },
  ]);
  expect(notesOf({ ...kept, opened: B.sha256 }, at("2026-12-05"), 0)[0]).toMatchObject({
    opened: true,
  });
  expect(kinds({ ...kept, trusted: B.sha256 }, "2026-12-05")).toEqual([]);
  // what was said of an earlier one does not count for this one
  expect(kinds({ ...kept, opened: A.sha256, trusted: A.sha256 }, "2026-12-05")).toEqual(["next"]);
  expect(kinds(keepAnswer(NOTHING_HEARD, answer()), "2026-12-05")).toEqual([]);
  expect(kinds(NOTHING_HEARD, "2026-12-05")).toEqual([]);
});

test("after its day it is told of while no answer has come, whatever the person said", () => {
  const kept = { ...keepAnswer(NOTHING_HEARD, coming), trusted: B.sha256 };
  expect(kinds(kept, "2027-01-20", "2027-01-10")).toEqual([]);
  expect(kinds(kept, "2027-01-21", "2027-01-10")).toEqual(["due"]);
  expect(kinds(kept, "2027-01-22", "2027-01-21")).toEqual([]);
});

test("the former one is named until it is removed, by day or because this phone met it", () => {
  const met = keepAnswer(keepAnswer(NOTHING_HEARD, coming), over);
  expect(notesOf(met, at("2027-01-21"), at("2027-01-21"))).toEqual([
    { kind: "former", ...A, day: "2027-01-20" },
  ]);
  expect(kinds(met, "2028-01-10")).toEqual(["former"]);
  expect(kinds({ ...met, removed: [A.sha256] }, "2027-01-21")).toEqual([]);
  const fresh = keepAnswer(NOTHING_HEARD, over);
  expect(kinds(fresh, "2027-03-21")).toEqual(["former"]);
  expect(kinds(fresh, "2027-03-22")).toEqual([]);
});

test("what is no such answer, or comes from a server without an authority, is none", () => {
  expect(readAnswer(coming)).toEqual(coming);
  expect(readAnswer({ authority: null, next: null, former: [], first_page: "" })).toBeNull();
  for (const wrong of [
    null,
    "",
    {},
    { ...coming, authority: { name: "x", sha256: "AB" } },
    { ...coming, next: B },
    { ...coming, next: { ...B, takes_over: "soon" } },
    { ...coming, former: [A] },
    { ...coming, former: {} },
    // the address becomes a link
    { ...coming, first_page: "javascript:alert(1)" },
  ])
    expect(readAnswer(wrong), JSON.stringify(wrong)).toBeNull();
});

let tab: Tab;
let asked: number;
let told: AuthorityKept;
let says: () => Promise<unknown>;
beforeEach(async () => {
  tab = await newPhone();
  asked = 0;
  says = async () => coming;
});

function watch(on: Tab): AuthorityWatch {
  const ask = () => {
    asked += 1;
    return says();
  };
  return new AuthorityWatch(on.log.facts, ask, (kept) => {
    told = kept;
  });
}

test("it is asked for once a start, and then once a day", async () => {
  const first = watch(tab);
  const start = at("2026-12-05");
  await Promise.all([first.roundWentWell(start), first.roundWentWell(start + 1)]);
  await first.roundWentWell(start + 23 * HOUR_MS);
  expect(asked).toBe(1);
  await first.roundWentWell(start + 24 * HOUR_MS);
  expect(asked).toBe(2);
  await watch(tab).roundWentWell(start + 24 * HOUR_MS);
  expect(asked).toBe(3);
});

test("a question that was lost is asked again after the next round, a refused one the next day", async () => {
  const first = watch(tab);
  const start = at("2026-12-05");
  says = async () => {
    throw new Unreachable(message("phone-error-unreachable"));
  };
  expect(await first.roundWentWell(start)).toBe(false);
  says = async () => {
    throw new Refused(404, "http_404", message("phone-error-answered", { status: "404" }), {});
  };
  expect(await first.roundWentWell(start + 1)).toBe(true);
  expect(await first.roundWentWell(start + 2)).toBe(true);
  expect(asked).toBe(2);
});

test("what was heard and what the person did outlive the page", async () => {
  const first = watch(tab);
  await first.roundWentWell(at("2026-12-05"));
  await first.opened(B.sha256);
  await first.trusted(B.sha256);
  await first.removed(A.sha256);
  const kept = told;
  expect(kept).toEqual({
    answer: coming,
    met: [A.sha256],
    opened: B.sha256,
    trusted: B.sha256,
    removed: [A.sha256],
  });
  await tab.close();
  tab = newTab();
  told = NOTHING_HEARD;
  await watch(tab).start();
  expect(told).toEqual(kept);
});

test("whoever sees that a notice is gone may close the app: it is kept by then", async () => {
  const { facts } = tab.log;
  const write = vi.spyOn(facts, "write");
  const order: string[] = [];
  const watch = new AuthorityWatch(facts, says, () => order.push("told"));
  write.mockImplementation(async () => {
    await Promise.resolve();
    order.push("kept");
  });
  await watch.removed(A.sha256);
  expect(order).toEqual(["kept", "told"]);
});

test("no answer, a refusal, or no authority of its own changes nothing that was heard", async () => {
  await watch(tab).roundWentWell(at("2026-12-05"));
  const kept = told;
  const realFetch = globalThis.fetch;
  const nothing = { authority: null, next: null, former: [], first_page: "" };
  says = trustNow;
  try {
    for (const response of [
      () => Promise.reject(new TypeError("no route")),
      async () => Response.json({ error: { code: "not_found" } }, { status: 404 }),
      async () => new Response("<html>"),
      async () => Response.json(nothing),
    ]) {
      globalThis.fetch = response;
      const again = watch(tab);
      await again.roundWentWell(at("2026-12-06"));
      await again.start();
      expect(told).toEqual(kept);
    }
  } finally {
    globalThis.fetch = realFetch;
  }
  expect(asked).toBe(5);
});

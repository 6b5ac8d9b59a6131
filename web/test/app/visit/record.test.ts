/** What a card, a page and the walk show of a record: no judge, no storage. */

import { beforeAll, describe, expect, test } from "vitest";
import type { Page } from "../../../src/app/state/page";
import { gradeName } from "../../../src/app/text/names";
import { placesOf } from "../../../src/app/visit/items/item-readings";
import {
  carName,
  choiceChanges,
  gradeChanges,
  photosIn,
  shownGrade,
  valueText,
} from "../../../src/app/visit/items/item-record";
import { settlingChanges } from "../../../src/app/visit/together/conflicts";
import { Visit } from "../../../src/app/visit/visit";
import {
  areasOf,
  isOpen,
  nextOpen,
  restOf,
  stagesOf,
  standing,
  worstOf,
} from "../../../src/app/visit/walk-order";
import type { Assessment, Grade, Item, ItemJudgment, Reading } from "../../../src/shared/contract";
import type { Json } from "../../../src/shared/event";
import { bundle, newPage, shownVisit, visitId } from "../pages";

let page: Page;
beforeAll(() => {
  page = newPage();
});

const item = (id: string) => bundle.items.find((one) => one.id === id) as Item;
const pads = item("brakes.pads");
const PADS = "items/brakes.pads";

const judged = (change: Partial<ItemJudgment>): ItemJudgment => ({
  ...{ applies: true, asked: true, state: "open", grade: null, by: null, measured: null },
  ...{ overruled: false, reasons: [], facts: {}, problems: [], conflict: false, ...change },
});

function assessed(items: Record<string, ItemJudgment>, areas: string[] = []): Assessment {
  return { items, areas: areas.map((area) => ({ area })) } as unknown as Assessment;
}

describe("the walk", () => {
  test("goes by areas and by stages, each in its order, without what is empty", () => {
    const visit = shownVisit(page, {});
    expect(areasOf(visit).map(({ id, items }) => [id, items.map((one) => one.id)])).toEqual([
      ["brakes", ["brakes.fluid", "brakes.pads", "brakes.hoses"]],
      ["body", ["body.doors", "body.sills"]],
    ]);
    expect(stagesOf(visit).map(({ id, parts }) => [id, parts.map((part) => part.id)])).toEqual([
      ["outside", ["brakes", "body"]],
      ["underneath", ["brakes", "body"]],
    ]);
  });

  test("goes by the judge's order of areas once it has spoken, and asks what applies", () => {
    const all = Object.fromEntries(bundle.items.map(({ id }) => [id, judged({})]));
    const items = { ...all, "brakes.hoses": judged({ applies: false, asked: false }) };
    const visit = Visit.of(page, visitId, bundle, {}, assessed(items, ["body", "brakes"]));
    expect(areasOf(visit).map(({ id }) => id)).toEqual(["body", "brakes"]);
    // a thorough item applies where the judge says so
    expect(visit.items.value.map(({ id }) => id)).toContain("body.seams");
    expect(visit.items.value.map(({ id }) => id)).not.toContain("brakes.hoses");
  });

  test("an item is open until a person or another answer settles it", () => {
    const visit = shownVisit(page, {
      [`${PADS}/grade`]: { grade: "minor" },
      "items/body.doors/choice": "sound",
      "items/body.sills/note": "a note answers nothing",
    });
    const open = bundle.items.filter((one) => isOpen(visit, one)).map(({ id }) => id);
    expect(open).toEqual(["brakes.hoses", "brakes.fluid", "body.sills", "body.seams"]);
    const settled = assessed({ "body.sills": judged({ state: "done", by: "implied" }) });
    const judgedVisit = Visit.of(page, visitId, bundle, {}, settled);
    expect(isOpen(judgedVisit, item("body.sills"))).toBe(false);
  });

  test("what comes next is the next open item from a page on, once round", () => {
    const visit = shownVisit(page, {
      "items/body.doors/grade": { grade: "none" },
      "items/body.sills/grade": { grade: "none" },
    });
    const areas = areasOf(visit);
    expect(nextOpen(areas, null)?.item.id).toBe("brakes.fluid");
    expect(nextOpen(areas, "body")?.page.id).toBe("brakes");
    expect(nextOpen(areas, "unheard")?.page.id).toBe("brakes");
    const done = Object.fromEntries(
      bundle.items.map(({ id }) => [`items/${id}/grade`, { grade: "none" }]),
    );
    expect(nextOpen(areasOf(shownVisit(page, done)), "brakes")).toBeNull();
  });

  test("what the visit does not ask for is offered, and pulled in where it stands", () => {
    const all = Object.fromEntries(bundle.items.map(({ id }) => [id, judged({})]));
    const unasked = judged({ asked: false });
    const items = {
      ...all,
      "body.seams": unasked,
      "brakes.hoses": judged({ applies: false, asked: false }),
      "brakes.fluid": judged({ asked: false, state: "done", by: "implied" }),
    };
    const visit = Visit.of(page, visitId, bundle, {}, assessed(items));
    const body = () => areasOf(visit).find(({ id }) => id === "body");
    expect(body()?.more.map(({ id }) => id)).toEqual(["body.seams"]);
    expect(visit.unasked.value.map(({ id }) => id)).toEqual(["body.seams"]);
    // what does not fit the car, or is settled by another answer, is not pulled in
    for (const id of ["brakes.hoses", "brakes.fluid", "body.seams"]) visit.pull(id);
    expect(body()?.more).toEqual([]);
    expect(body()?.items.map(({ id }) => id)).toContain("body.seams");
    expect(body()?.open.map(({ id }) => id)).toContain("body.seams");
    expect(visit.items.value.map(({ id }) => id)).not.toContain("brakes.hoses");
  });

  test("a page whose items are all beyond the visit is there if there is time", () => {
    const items = Object.fromEntries(
      bundle.items.map(({ id, area }) => [id, judged({ asked: area !== "body" })]),
    );
    const visit = Visit.of(page, visitId, bundle, {}, assessed(items));
    const body = areasOf(visit).find(({ id }) => id === "body");
    expect(body && standing(visit, body)).toEqual({ mark: null, words: "If you have time" });
    expect(nextOpen(areasOf(visit), "body")?.page.id).toBe("brakes");
  });

  test("the rest never holds what the drive home depends on", () => {
    expect(restOf(bundle.items).map(({ id }) => id)).not.toContain("brakes.pads");
    expect(restOf(bundle.items)).toHaveLength(bundle.items.length - 1);
  });

  test("a page is blank while something on it is open, then bears the mark of its worst", () => {
    const doors = { "items/body.doors/grade": { grade: "none" } };
    const stands = (values: Record<string, Json>) => {
      const visit = shownVisit(page, { ...doors, ...values });
      return areasOf(visit).map((area) => standing(visit, area));
    };
    expect(stands({})).toEqual([
      { mark: "open", words: "3 open" },
      { mark: "open", words: "1 open" },
    ]);
    const sills = (grade: string) => stands({ "items/body.sills/grade": { grade } })[1];
    expect(sills("none")).toEqual({ mark: "fine", words: "OK" });
    expect(sills("uninspected")).toEqual({ mark: "not_checked", words: "Not checked" });
    expect(sills("major")).toEqual({ mark: "major", words: "Needs fixing" });
  });

  test("an OK that no figure of the car was held against says so on its page as well", () => {
    const stands = (more: Partial<ItemJudgment>) => {
      const of = (change: Partial<ItemJudgment>) => judged({ state: "done", ...change });
      const items = { "body.doors": of({ grade: "none", by: "eye" }), "body.sills": of(more) };
      const visit = Visit.of(page, visitId, bundle, {}, assessed(items));
      const body = areasOf(visit).find(({ id }) => id === "body");
      return body && standing(visit, body);
    };
    expect(stands({ grade: "none", by: "person" })).toEqual({
      mark: "fine",
      words: "OK, 1 by eye",
    });
    expect(stands({ grade: "none", by: "eye" })).toEqual({ mark: "fine", words: "OK, 2 by eye" });
    expect(stands({ grade: "minor", by: "person" })).toEqual({ mark: "minor", words: "Minor" });
    expect(gradeName("none", "eye")).toBe("OK by eye");
    expect(gradeName("none", "reading")).toBe("OK");
    expect(gradeName("major", "eye")).toBe("Needs fixing");
  });

  test("what was found and repaired since is torn open, and worse than it is what still stands", () => {
    const graded = (doors: Grade) => ({
      "body.doors": judged({ grade: doors }),
      "body.sills": judged({ grade: "dangerous" }),
    });
    const worst = (doors: Grade, mended: string[]) => {
      const drive_home = assessed({}).drive_home;
      const now = { mended, dangerous: [], grades: {}, drive_home };
      const assessment = { ...assessed(graded(doors)), ...(mended.length > 0 ? { now } : {}) };
      const visit = Visit.of(page, visitId, bundle, {}, assessment);
      return worstOf(visit, [item("body.doors"), item("body.sills")]);
    };
    expect(worst("minor", [])).toBe("dangerous");
    // what work closed with proof is the judge's word (judge/record/mended.py)
    expect(worst("minor", ["body.sills"])).toBe("minor");
    expect(worst("none", ["body.sills"])).toBe("mended");
  });
});

describe("a record as it is shown", () => {
  test("a grade is the judge's word, and the person's until it has spoken", () => {
    const values = { [`${PADS}/grade`]: { grade: "minor" } };
    expect(shownGrade(shownVisit(page, values), pads)).toBe("minor");
    const cells = { [`${PADS}/grade`]: { value: { grade: "minor" }, at: "", others: [] } };
    const dangerous = assessed({ "brakes.pads": judged({ grade: "dangerous" }) });
    expect(shownGrade(Visit.of(page, visitId, bundle, cells, dangerous), pads)).toBe("dangerous");
  });

  test("a new grade takes back the reason of the one before", () => {
    const plain = shownVisit(page, {});
    expect(gradeChanges(plain, pads, "minor")).toEqual([
      { put: `${PADS}/grade`, value: { grade: "minor" } },
    ]);
    const reasoned = shownVisit(page, { [`${PADS}/why`]: "worn" });
    expect(gradeChanges(reasoned, pads, "none")).toEqual([
      { put: `${PADS}/grade`, value: { grade: "none" } },
      { put: `${PADS}/why`, value: null },
    ]);
  });

  test("a choice takes back “not inspected”, and no other grade", () => {
    const unseen = shownVisit(page, { [`${PADS}/grade`]: { grade: "uninspected" } });
    expect(choiceChanges(unseen, pads, "sound")).toEqual([
      { put: `${PADS}/choice`, value: "sound" },
      { put: `${PADS}/grade`, value: null },
    ]);
    const graded = shownVisit(page, { [`${PADS}/grade`]: { grade: "major" } });
    expect(choiceChanges(graded, pads, "sound")).toHaveLength(1);
  });

  test("values that two people wrote are said, not shown as codes", () => {
    const choices = [{ id: "wet", title: "Weeping" }];
    const rule = { area: "brakes", title: "Pads", order: 0, choices };
    const held = { ...bundle, rules: { ...bundle.rules, items: { [pads.id]: rule } } };
    const shown = (part: string, value: Json) => valueText(held, pads, `${PADS}/${part}`, value);
    expect(shown("choice", "wet")).toBe("Weeping");
    expect(shown("grade", { grade: "dangerous" })).toBe("Unsafe");
    expect(shown("why", { term: "chip-not-dark" })).toBe("too dark");
    expect(shown("note", "as typed")).toBe("as typed");
    expect(shown("photos/a", { caption: { term: "chip-photo-left" }, width: 3 })).toBe("left");
    expect(shown("photos/a", { caption: "" })).toBe("–");
    expect(shown("readings/pad/one", { typed: "2.5", unit: "mm" })).toBe("2.5 mm");
    expect(shown("why", null)).toBe("cleared");
  });

  test("who settles a conflict of grades takes that writer's own reason, not the other's", () => {
    const [one, two] = ["1".repeat(32), "2".repeat(32)];
    const at = (ms: number, device: string) => `${String(ms).padStart(15, "0")}-00000-${device}`;
    const others = [{ value: { grade: "minor" }, at: at(5, two) }];
    const whys = [{ value: "of two", at: at(6, two) }];
    const cells = {
      [`${PADS}/grade`]: { value: { grade: "major" }, at: at(7, one), others },
      [`${PADS}/why`]: { value: "of one", at: at(8, one), others: whys },
    };
    const visit = Visit.of(page, visitId, bundle, cells, null);
    const put = `${PADS}/grade`;
    const settled = settlingChanges(visit, put, { grade: "minor" }, at(5, two));
    expect(settled[1]).toEqual({ put: `${PADS}/why`, value: "of two" });
    const own = settlingChanges(visit, put, { grade: "major" }, at(7, one));
    expect(own[1]).toEqual({ put: `${PADS}/why`, value: "of one" });
  });

  test("photos stand in the order in which they were recorded, without those taken back", () => {
    const cell = (at: string, value: unknown = {}) => ({ value: value as never, at, others: [] });
    const cells = {
      [`${PADS}/photos/b`]: cell("1"),
      [`${PADS}/photos/a`]: cell("2"),
      [`${PADS}/photos/c`]: cell("3", null),
      "items/brakes.hoses/photos/d": cell("0"),
    };
    expect(photosIn(cells, "brakes.pads")).toEqual(["b", "a"]);
  });

  test("a car is named by what is known of it", () => {
    expect(carName(shownVisit(page, { "car/model": "Nine", "car/year": 1994 }))).toBe("Nine 1994");
    expect(carName(shownVisit(page, {}))).toBe("Unnamed car");
  });

  test("signatures are counted by their number, without what is no signature", () => {
    const visit = shownVisit(page, {
      "seal/10": { name: "ten" },
      "seal/2": { name: "two" },
      "seal/3": null,
      "seal/x": { name: "none" },
    });
    expect(visit.seals().map(({ n }) => n)).toEqual([2, 10]);
  });

  test("cylinders beyond the engine's are measured only where something was recorded", () => {
    const reading: Reading = {
      ...{ id: "kpa", title: "Compression", quantity: "pressure", units: ["kPa"] },
      at: ["1", "2", "3", "4", "5", "6"],
    };
    const put = "items/brakes.pads/readings/kpa/6";
    const of = (values: Record<string, unknown>) =>
      placesOf(shownVisit(page, values), pads, reading);
    expect(of({})).toHaveLength(6);
    expect(of({ "car/cylinders": 4 })).toEqual(["1", "2", "3", "4"]);
    expect(of({ "car/cylinders": 4, [put]: { typed: "900", unit: "kPa" } })).toEqual([
      ...["1", "2", "3", "4", "6"],
    ]);
    expect(placesOf(shownVisit(page, {}), pads, { ...reading, at: [] })).toEqual(["one"]);
  });
});

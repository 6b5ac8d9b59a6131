/** What another phone brought: one line a check, in its own words, dangers first. */

import { expect, test } from "vitest";
import { cameSince, isFine, isUnsafe } from "../../../../src/app/visit/together/came";
import { People } from "../../../../src/app/visit/together/people";
import type { LogEvent } from "../../../../src/shared/event";
import "../../../together-words";
import { ANA, BEN, DESK, event, known, NAMES, visitOf, type Written } from "./two";

function came(written: Written[]) {
  const events: LogEvent[] = written.map((one, n) => event(n + 1, one));
  const { visit, people } = visitOf([...NAMES, ...written]);
  return cameSince(visit, people, events).value;
}

test("the worst comes first, then the latest", () => {
  const lines = came([
    ["items/body.doors/grade", { grade: "none" }, 1, BEN],
    ["items/brakes.hoses/grade", { grade: "minor" }, 2, BEN],
    ["items/brakes.pads/grade", { grade: "dangerous" }, 3, BEN],
    ["items/body.sills/grade", { grade: "minor" }, 4, BEN],
    ["items/brakes.fluid/note", "smells burnt", 5, BEN],
  ]);
  expect(lines.map(({ title }) => title)).toEqual([
    ...["brakes.pads", "body.sills", "brakes.hoses", "brakes.fluid", "body.doors"],
  ]);
  expect(lines.filter(isUnsafe).map(({ said }) => said)).toEqual(["Unsafe"]);
  expect(lines.filter(isFine)).toHaveLength(1);
});

test("of several entries of a check the answer's own words tell it", () => {
  const [line, ...more] = came([
    ["items/body.beam/grade", { grade: "dangerous" }, 1, BEN],
    ["items/body.beam/choice", "holed", 2, BEN],
    [`items/body.beam/photos/${"1".repeat(64)}`, { taken: "" }, 3, BEN],
  ]);
  expect(more).toEqual([]);
  expect([line?.who, line?.said, line?.title]).toEqual(["Ben", "Rusted through", "Left beam"]);
});

test("a photo alone says that it is one; what was taken back says so", () => {
  const put = `items/body.doors/photos/${"1".repeat(64)}`;
  expect(came([[put, { taken: "" }, 1, BEN]])[0]?.said).toBe("Photo");
  expect(came([["items/body.doors/grade", null, 1, BEN]])[0]?.said).toBe("cleared");
});

test("a fact of the car is told by its name; what nobody reads is not told", () => {
  const lines = came([
    ["car/make", "Tarn", 1, BEN],
    ["about/app", "f".repeat(64), 2, BEN],
    ["taken/outside", true, 3, BEN],
    [`people/${BEN}`, { name: "Ben" }, 4, BEN],
  ]);
  expect(lines.map(({ title, said }) => [title, said])).toEqual([["Make", "Tarn"]]);
});

test("nobody is told of what this phone or the desk wrote", () => {
  const by = (device: string): Written => ["items/body.doors/note", "x", 1, device];
  expect(came([by(ANA)])).toEqual([]);
  expect(came([by(DESK)])).toEqual([]);
  expect(came([by(BEN)])).toHaveLength(1);
});

test("a tap on one check tells the others' lines no second time, and names nobody anew", async () => {
  const written: Written[] = [
    ["items/body.doors/grade", { grade: "minor" }, 1, BEN],
    ["items/brakes.hoses/grade", { grade: "major" }, 2, BEN],
  ];
  const { visit, people } = visitOf([...NAMES, ...written]);
  const lines = cameSince(
    visit,
    people,
    written.map((one, n) => event(n + 1, one)),
  );
  const [own, [hoses, doors]] = [visit.own.value, lines.value];
  await visit.put([{ put: "items/body.doors/grade", value: { grade: "dangerous" } }], null, false);
  const after = lines.value;
  expect(after.map(({ title }) => title)).toEqual(["body.doors", "brakes.hoses"]);
  expect(after[1]).toBe(hoses);
  expect(after[0]).not.toBe(doors);
  expect(visit.own.value).toBe(own);
  const { device: ownNow } = await visit.services.log.identity.get();
  const keyNow = () => new People({ ...known, own: ownNow }, visit.cells.value).key;
  const key = keyNow();
  await visit.put([{ put: "items/body.doors/note", value: "both" }], null, false);
  expect(keyNow()).toBe(key);
});

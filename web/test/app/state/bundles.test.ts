/** A checklist's texts in the language of this phone; the judge gets the rules as they were written. */

import { afterEach, expect, test, vi } from "vitest";
import { Bundles } from "../../../src/app/state/bundles";
import { recordedText, whysOf } from "../../../src/app/text/say";
import { bare, inEnglish } from "../../../src/app/text/tongues";
import type { Item } from "../../../src/shared/contract";
import type { Json } from "../../../src/shared/event";
import type { Log } from "../../../src/store/log/log";
import { bundle } from "../pages";

const HASH = "c".repeat(64);
const ADDRESS = `/api/v1/checklists/${HASH}`;
const WRITTEN = {
  ...bundle,
  hash: HASH,
  cautions: { jacking: { title: "Car in the air", text: "Use stands." } },
};
const SPANISH = {
  items: { "1": { title: "Mangueras" } },
  cautions: { jacking: { title: "Auto levantado" } },
  rules: { areas: { "0": { title: "Frenos" } } },
};
const RULES = { items: {}, areas: [{ id: "brakes", title: "Brakes" }] };

/** What is to be had of the server, by address; anything else is out of reach. */
function serve(answers: Record<string, unknown>): string[] {
  const asked: string[] = [];
  vi.stubGlobal("fetch", async (path: string) => {
    asked.push(path);
    if (answers[path] === undefined) throw new TypeError("no signal");
    return Response.json(answers[path]);
  });
  return asked;
}

function bundlesIn(locale: string): Bundles {
  return new Bundles(
    {} as Log,
    async () => null as never,
    async () => locale,
  );
}

const BUNDLE = { ...WRITTEN, rules: RULES };

afterEach(() => vi.unstubAllGlobals());

test("texts are read in the phone's language, the rest and the judge's rules stay", async () => {
  serve({ [`${ADDRESS}.json`]: BUNDLE, [`${ADDRESS}/es-US.json`]: SPANISH });
  const read = await bundlesIn("es-US").fetch(HASH);
  expect(read.cautions.jacking).toEqual({
    title: "Auto levantado",
    text: inEnglish("Use stands."),
  });
  expect(read.items.map(({ title }) => title)).toEqual(
    bundle.items.map(({ title }, n) => (n === 1 ? "Mangueras" : inEnglish(title))),
  );
  expect(read.rules.areas[0]?.title).toBe("Frenos");
  expect(read.judged).toEqual(RULES);
  // what is not translated says that it is English, and is otherwise as it was written
  const written = JSON.stringify({ ...bundle.items[1], title: "" });
  expect(bare(JSON.stringify({ ...read.items[1], title: "" }))).toBe(written);
});

test("a reason that a tap records by its English text is said in the phone's language", async () => {
  const [pads, ...others] = bundle.items as [Item, ...Item[]];
  const asked = { ...pads, whys: ["inner pad low", "contaminated"] };
  const rules = { ...RULES, items: { [pads.id]: { area: "brakes", title: "Pads", order: 0 } } };
  const written = { ...BUNDLE, items: [asked, ...others], rules };
  const spanish = { items: { "0": { whys: { "0": "pastilla interior baja" } } } };
  serve({ [`${ADDRESS}.json`]: written, [`${ADDRESS}/es-US.json`]: spanish });
  const read = await bundlesIn("es-US").fetch(HASH);
  const [first, second] = whysOf(read.items[0] as Item, read.rules);
  expect(first).toEqual({ checklist: ["why", pads.id, "inner pad low"] });
  expect(recordedText(first as Json, read.rules)).toBe("pastilla interior baja");
  expect(recordedText(second as Json, read.rules)).toBe(inEnglish("contaminated"));
  expect(read.judged).toEqual(rules);
  // in English it is what it is called
  expect(whysOf(asked, written.rules)[0]).toEqual(first);
  expect(recordedText(first as Json, written.rules)).toBe("inner pad low");
});

test("whatever else a record holds where words are expected is shown as nothing", () => {
  for (const value of [null, true, {}, [], ["x"], { term: 3 }, { term: "chip-of-tomorrow" }]) {
    expect(recordedText(value, {})).toBe("");
  }
  expect(recordedText({ term: "phone-title" }, {})).toBe("");
  expect(recordedText({ titles: ["Pulls", "Caliper"], cause: ["a", "b"] }, {})).toBe(
    "Pulls: Caliper",
  );
  expect(recordedText("as typed", {})).toBe("as typed");
});

test("in English nothing else is asked for", async () => {
  const asked = serve({ [`${ADDRESS}.json`]: BUNDLE });
  expect(await bundlesIn("en-US").fetch(HASH)).toEqual(BUNDLE);
  expect(asked).toEqual([`${ADDRESS}.json`]);
});

test("without signal it is read in English until the texts can be had", async () => {
  const bundles = bundlesIn("es-US");
  serve({ [`${ADDRESS}.json`]: BUNDLE });
  expect(await bundles.fetch(HASH)).toEqual(BUNDLE);
  serve({ [`${ADDRESS}.json`]: BUNDLE, [`${ADDRESS}/es-US.json`]: SPANISH });
  expect((await bundles.fetch(HASH)).cautions.jacking?.title).toBe("Auto levantado");
});

const TABLE = { id: "drips", title: "Drips", says: "It drips.", group: "running", source: "x" };
const TABLES = { symptoms: [{ ...TABLE, causes: [], tests: [] }] };

test("complaint tables come apart, once, in the phone's language and as they were written", async () => {
  const said = { ...SPANISH, symptoms: { "0": { title: "Gotea" } } };
  const asked = serve({
    [`${ADDRESS}.json`]: BUNDLE,
    [`${ADDRESS}/es-US.json`]: said,
    [`${ADDRESS}/trouble.json`]: TABLES,
  });
  const bundles = bundlesIn("es-US");
  const bundle = await bundles.fetch(HASH);
  expect(asked.some((path) => path.endsWith("/trouble.json"))).toBe(false);
  const { read, written } = await bundles.complaints(bundle);
  await bundles.complaints(bundle);
  expect(asked.filter((path) => path.endsWith("/trouble.json"))).toHaveLength(1);
  expect(read.map(({ title }) => title)).toEqual(["Gotea"]);
  expect(written.map(({ title }) => title)).toEqual(["Drips"]);
});

test("a checklist of before there were tables takes those of today", async () => {
  const today = "e".repeat(64);
  serve({
    [`${ADDRESS}.json`]: BUNDLE,
    [`${ADDRESS}/trouble.json`]: { symptoms: [] },
    "/api/v1/offline": { checklists: `/api/v1/checklists/${today}.json` },
    [`/api/v1/checklists/${today}/trouble.json`]: TABLES,
  });
  const bundles = bundlesIn("en-US");
  const { written } = await bundles.complaints(await bundles.fetch(HASH));
  expect(written.map(({ title }) => title)).toEqual(["Drips"]);
});

test("tables that are not to be had are asked for again", async () => {
  serve({ [`${ADDRESS}.json`]: BUNDLE });
  const bundles = bundlesIn("en-US");
  const bundle = await bundles.fetch(HASH);
  await expect(bundles.complaints(bundle)).rejects.toThrow();
  serve({ [`${ADDRESS}/trouble.json`]: TABLES });
  expect((await bundles.complaints(bundle)).read).toHaveLength(1);
});

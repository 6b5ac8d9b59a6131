/** A checklist's texts in the language of this phone; the judge gets the rules as they were written. */

import { afterEach, expect, test, vi } from "vitest";
import { Bundles } from "../../src/app/state/bundles";
import type { Log } from "../../src/store/log/log";
import { bundle } from "./pages";

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
  expect(read.cautions.jacking).toEqual({ title: "Auto levantado", text: "Use stands." });
  expect(read.items.map(({ title }) => title)).toEqual(
    bundle.items.map(({ title }, n) => (n === 1 ? "Mangueras" : title)),
  );
  expect(read.rules.areas[0]?.title).toBe("Frenos");
  expect(read.judged).toEqual(RULES);
  expect({ ...read.items[1], title: "" }).toEqual({ ...bundle.items[1], title: "" });
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

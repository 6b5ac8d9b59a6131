/** The open visit with what another phone sends: over a real log, with the real fold. */

import { afterEach, beforeEach, expect, test } from "vitest";
import type { Page } from "../../../../src/app/state/page";
import { Together } from "../../../../src/app/visit/together/together";
import type { Visit } from "../../../../src/app/visit/visit";
import { loadVisit } from "../../../../src/app/visit/visits";
import { receive } from "../../../../src/store/log/receiving";
import { Writer } from "../../../store/writer";
import "../../../together-words";
import { begin, closePages, eventually, newAppPhone, scope, visitId } from "../../pages";

let page: Page;
let ben: Writer;
let device: string;

beforeEach(async () => {
  page = await newAppPhone();
  ben = new Writer(Date.now(), scope);
  device = (await page.log.identity.get()).device;
});
afterEach(closePages);

async function arrives(visit: Visit): Promise<void> {
  await receive(page.log, ben.batch());
  await visit.refold();
}

test("whoever began the visit is told of all that another phone sends, until it was looked at", async () => {
  const visit = await begin(page);
  await visit.put([{ put: "about/started", value: "2026-12-01T09:00:00-06:00" }]);
  const together = new Together(visit);
  expect(visit.isShared.value).toBe(false);
  ben.put("items/body.doors/grade", { grade: "minor" });
  await arrives(visit);
  await eventually(() => expect(together.came.value.map(({ said }) => said)).toEqual(["Minor"]));
  expect(visit.isShared.value).toBe(true);
  expect(together.asksName()).toBe(true);

  await together.looked();
  ben.put("items/body.sills/grade", { grade: "dangerous" });
  await arrives(visit);
  await eventually(() => expect(together.came.value.map(({ said }) => said)).toEqual(["Unsafe"]));
  // what was looked at stays so after a restart
  const again = new Together(await loadVisit(page, visitId));
  await eventually(() =>
    expect(again.came.value.map(({ title }) => title)).toEqual(["body.sills"]),
  );
});

test("whoever joins a visit has missed nothing of what was there before", async () => {
  ben.put("about/bundle", "c".repeat(64));
  ben.put("about/started", "2026-12-01T09:00:00-06:00");
  ben.put("items/body.doors/grade", { grade: "minor" });
  await receive(page.log, ben.batch());
  const visit = await loadVisit(page, visitId);
  const together = new Together(visit);
  await eventually(() => expect(together.isTwo).toBe(true));
  await eventually(async () =>
    expect((await page.facts.read("looked"))?.[visitId]).toEqual({ [ben.device]: 3 }),
  );
  expect(together.came.value).toEqual([]);
  ben.put("items/body.sills/grade", { grade: "major" });
  await arrives(visit);
  await eventually(() => expect(together.came.value).toHaveLength(1));
});

test("a name is asked once: a phone that has one says it by itself", async () => {
  const visit = await begin(page);
  const together = new Together(visit);
  ben.put(`people/${ben.device}`, { name: "Ben" });
  await arrives(visit);
  await eventually(() => expect(together.asksName()).toBe(true));
  expect(together.people.value?.nameOf(ben.device)).toBe("Ben");
  await together.sayName("Ana", "said");
  expect(together.asksName()).toBe(false);
  expect(visit.value(`people/${device}`)).toEqual({ name: "Ana" });

  const other = await newAppPhone();
  await other.state.setPreferences({ inspector: "Ana" });
  const next = await begin(other);
  const joined = new Together(next);
  await receive(other.log, ben.batch());
  await next.refold();
  const own = (await other.log.identity.get()).device;
  await eventually(() => expect(next.value(`people/${own}`)).toEqual({ name: "Ana" }));
  expect(joined.asksName()).toBe(false);
});

test("an old visit that another phone made asks for no name and says none", async () => {
  await page.state.setPreferences({ inspector: "Ana" });
  ben = new Writer(Date.now() - 3 * 24 * 3_600_000, scope);
  ben.put("about/bundle", "c".repeat(64));
  await receive(page.log, ben.batch());
  const visit = await loadVisit(page, visitId);
  const together = new Together(visit);
  await eventually(async () => expect((await page.facts.read("looked"))?.[visitId]).toBeDefined());
  expect(together.asksName()).toBe(false);
  expect(visit.value(`people/${device}`)).toBe(null);
});

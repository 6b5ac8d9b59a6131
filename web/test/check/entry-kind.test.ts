/** The page's kinds of entries are the judge's own: both are asked about the same paths. */

import { execFileSync } from "node:child_process";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { entryKind, formerKind, WITHHELD_KINDS } from "../../src/check/report/entry-kind";

const REPOSITORY = join(dirname(fileURLToPath(import.meta.url)), "../../..");

const HEADS = [
  "about",
  "car",
  "items",
  "work",
  "media",
  "people",
  "trouble",
  "amend",
  "notes",
  "settled",
  "seal",
  "verdict",
  "brief",
  "x",
];
const NAMES =
  "app asking_price bundle currency dark depth distance_home inspector motorway place region seller " +
  "started voice wet left_papers address email name phone plate vin choice cost grade note photos readings text " +
  "why done after look_first toString constructor";

function paths(): string[] {
  const names = NAMES.split(" ");
  return HEADS.flatMap((head) => [
    head,
    ...names.map((name) => `${head}/${name}`),
    ...names.map((name) => `${head}/one/${name}`),
    ...names.map((name) => `${head}/one/after/two/${name}`),
  ]);
}

test("what is withheld is of the kind that the judge says", () => {
  const asked = paths();
  const program =
    "import json, sys; from bradawl.judge import WITHHELD_KINDS, entry_kind; " +
    "from bradawl.inspection.seals import former_kind; " +
    "paths = json.load(sys.stdin); kinds = [entry_kind(path) for path in paths];" +
    "print(json.dumps([kinds, WITHHELD_KINDS, [former_kind(path) for path in paths]]))";
  const said = execFileSync(join(REPOSITORY, ".venv/bin/python"), ["-c", program], {
    input: JSON.stringify(asked),
  });
  const [kinds, withheld, former] = JSON.parse(said.toString());
  expect(asked.map(entryKind)).toEqual(kinds);
  expect(asked.map(formerKind)).toEqual(former);
  expect([...WITHHELD_KINDS].sort()).toEqual([...withheld].sort());
});

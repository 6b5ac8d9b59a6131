/**
 * Words found in any order, cut short and with slips. The checks are those of the real checklists;
 * distances are held against a plain reading of the definition by Damerau (restricted).
 */

import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, test } from "vitest";
import { slips, WordIndex, wordsOf } from "../../../src/app/text/word-index";

const root = fileURLToPath(new URL("../../../..", import.meta.url));
const PRINT = `
import json
from pathlib import Path
from bradawl.checklists import loader
titles = [[item.id, item.title] for item in loader.load(Path("checklists")).items]
print(json.dumps(titles))
`;

let titles: [string, string][] = [];
let index = new WordIndex([]);
beforeAll(() => {
  const printed = execFileSync(join(root, ".venv/bin/python"), ["-c", PRINT], { cwd: root });
  titles = JSON.parse(String(printed));
  index = new WordIndex(titles.map(([id, text]) => ({ id, texts: [{ weight: 1, text }] })));
});

/** A chance that is the same in each run. */
function chance(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
    return state / 2_147_483_648;
  };
}

/** By the definition, without a table. */
function distance(a: string, b: string): number {
  if (a === "" || b === "") return a.length + b.length;
  const [x, y] = [a.slice(0, -1), b.slice(0, -1)];
  const steps = [
    distance(x, b) + 1,
    distance(a, y) + 1,
    distance(x, y) + (a.at(-1) === b.at(-1) ? 0 : 1),
  ];
  if (a.length > 1 && b.length > 1 && a.at(-1) === b.at(-2) && a.at(-2) === b.at(-1)) {
    steps.push(distance(a.slice(0, -2), b.slice(0, -2)) + 1);
  }
  return Math.min(...steps);
}

describe("slips of the finger", () => {
  test("are counted as the definition has them, against every beginning of the word", () => {
    const next = chance(7);
    const some = () =>
      Array.from({ length: 1 + Math.floor(next() * 5) }, () => "abc"[Math.floor(next() * 3)]).join(
        "",
      );
    for (let run = 0; run < 300; run += 1) {
      const [typed, word] = [some(), some()];
      const starts = Array.from({ length: word.length + 1 }, (_, length) => word.slice(0, length));
      const fewest = Math.min(...starts.map((start) => distance(typed, start)));
      expect(slips(typed, word, 2), `${typed} ${word}`).toBe(Math.min(3, fewest));
    }
  });
});

describe("a search over the real checks", () => {
  test("finds each by its words in any order", () => {
    expect(titles.length).toBeGreaterThan(250);
    for (const [id, title] of titles) {
      const words = wordsOf(title).reverse().join(" ");
      expect(index.find(words).slice(0, 5), title).toContain(id);
    }
  });

  test("finds each by the beginnings of its words", () => {
    for (const [id, title] of titles) {
      const cut = wordsOf(title).map((word) => word.slice(0, 4));
      expect(index.find(cut.join(" ")), title).toContain(id);
    }
  });

  test("finds each whatever letter of its longest word is missing, doubled, wrong or swapped", () => {
    const next = chance(11);
    for (const [id, title] of titles) {
      const words = wordsOf(title);
      const longest = words.reduce((a, b) => (b.length > a.length ? b : a), "");
      if (longest.length < 4) continue;
      const at = 1 + Math.floor(next() * (longest.length - 2));
      const [head, letter, tail] = [longest.slice(0, at), longest[at] ?? "", longest.slice(at + 1)];
      for (const slip of [
        head + tail,
        head + letter + letter + tail,
        `${head}q${tail}`,
        head + (tail[0] ?? "") + letter + tail.slice(1),
      ]) {
        const typed = words.map((word) => (word === longest ? slip : word)).join(" ");
        expect(index.find(typed), `${typed} for ${title}`).toContain(id);
      }
    }
  });

  test("wants every word, so that a second word never finds more", () => {
    for (const [first, second] of [
      ["brake", "hos"],
      ["seat", "belt"],
      ["oil", "leak"],
    ]) {
      const alone = index.find(`${first}`);
      const both = index.find(`${first} ${second}`);
      expect(both.length).toBeGreaterThan(0);
      expect(both.length).toBeLessThan(alone.length);
      expect(alone).toContain(both[0]);
    }
  });

  test("puts the whole word before its beginning, and that before a part of a word", () => {
    const texts = ["breakdown", "down", "downpipe"].map((text) => ({
      id: text,
      texts: [{ weight: 1, text }],
    }));
    expect(new WordIndex(texts).find("down")).toEqual(["down", "downpipe", "breakdown"]);
  });

  test("reads accents, case and marks as a hurried person types them", () => {
    const own = new WordIndex([{ id: "a", texts: [{ weight: 1, text: "Coupé: ball-joint" }] }]);
    for (const typed of ["coupe", "COUPÉ", "balljoint", "joint ball", "  ball  "]) {
      expect(own.find(typed)).toEqual(["a"]);
    }
    for (const typed of ["", "  ", "·", "zebra"]) expect(own.find(typed)).toEqual([]);
  });
});

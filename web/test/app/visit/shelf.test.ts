/** Where a visit stands, by the table that the server is held to as well. */

import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { shelfOf } from "../../../src/app/visit/shelf";
import type { Json } from "../../../src/shared/event";

interface Case {
  what: string;
  cells: Record<string, Json>;
  late?: string[];
  erased?: string[];
  shelf: string;
}

const table = fileURLToPath(new URL("../../../../tests/inspection/shelf.json", import.meta.url));

test.each(JSON.parse(readFileSync(table, "utf8")) as Case[])(
  "$what",
  ({ cells, late = [], erased = [], shelf }) => {
    const made = Object.entries(cells).map(([put, value]) => {
      const at = `00000170000000${late.includes(put) ? 1 : 0}-00000-${"a".repeat(32)}`;
      return [put, { value, at, others: [], ...(erased.includes(put) ? { erased: true } : {}) }];
    });
    expect(shelfOf(Object.fromEntries(made))).toBe(shelf);
  },
);

import { expect, test } from "vitest";
import { nextStamp, stampTime } from "../../src/store/log/clock";

const device = "d".repeat(32);

test("a stamp has the width and order that the contract between phone and server names", () => {
  expect(nextStamp("", 1764052703000, device)).toBe(`001764052703000-00000-${device}`);
});

test("a clock set back goes on counting from the greatest stamp seen", () => {
  const seen = `001764052703000-00007-${"a".repeat(32)}`;
  for (const wall of [0, 1764052702999, 1764052703000, 1764049103000]) {
    expect(nextStamp(seen, wall, device)).toBe(`001764052703000-00008-${device}`);
  }
});

test("a full counter moves to the next millisecond", () => {
  const seen = `001764052703000-99999-${device}`;
  expect(nextStamp(seen, 5, device)).toBe(`001764052703001-00000-${device}`);
});

test("every stamp is greater than the one before, whatever the wall clock does", () => {
  let seen = "";
  const walls = [5, 4, 4, 1e12, 0, 1e12, 1e12 + 0.7, -3];
  for (const wall of walls) {
    const next = nextStamp(seen, wall, device);
    expect(next > seen).toBe(true);
    expect(next).toHaveLength(15 + 1 + 5 + 1 + 32);
    seen = next;
  }
  expect(stampTime(seen)).toBe(1e12);
});

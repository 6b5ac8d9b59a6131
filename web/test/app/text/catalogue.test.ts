import { FluentResource } from "@fluent/bundle";
import { afterEach, describe, expect, test } from "vitest";
import {
  Catalogue,
  catalogue,
  localeFor,
  marked,
  say,
  text,
} from "../../../src/app/text/catalogue";
import { gradeName, placeLabel, placeName, unitName, withUnit } from "../../../src/app/text/names";
import { inEnglish } from "../../../src/app/text/tongues";
import { message, saidOf, Told } from "../../../src/shared/said";

afterEach(() => catalogue.load());

function files(locales: Record<string, string | Error>) {
  return Object.fromEntries(
    Object.entries(locales).map(([locale, source]) => [
      `../../locales/${locale}/phone.ftl`,
      async () => {
        if (source instanceof Error) throw source;
        const { body } = new FluentResource(source);
        return Object.fromEntries(body.map(({ id, value }) => [id, value]));
      },
    ]),
  );
}

describe("a locale", () => {
  const toy = new Catalogue(
    files({
      "en-US": "phone-back = Back\nphone-close = Close",
      "qq-QQ": "phone-back = Qaqa",
      "rr-RR": new Error("no network"),
    }),
  );

  test("is there by its files alone, and what it lacks is read in English", async () => {
    expect(toy.locales()).toEqual(["en-US", "qq-QQ", "rr-RR"]);
    await toy.load("qq-QQ");
    expect([toy.locale, toy.find("phone-back"), toy.find("phone-close")]).toEqual([
      ...["qq-QQ", "Qaqa", inEnglish("Close")],
    ]);
    const told: string[] = [];
    toy.tell = ({ message }) => told.push(message);
    expect([toy.find("phone-none"), told[0]]).toEqual(["…", "phone-none: no such message"]);
  });

  test("that cannot be had now is read in English, and says so by its name", async () => {
    await toy.load("rr-RR");
    expect([toy.locale, toy.find("phone-back")]).toEqual(["en-US", "Back"]);
  });

  // Accept-Language and navigator.languages are one list (HTML, 8.9.1.1): both sides take the same
  test.each([
    [["en-US", "en"], "en-US"],
    [["en-GB"], "en-US"],
    [["en-XA"], "en-XA"],
    [["xx"], "en-US"],
    [["es-MX", "es", "en"], "es-US"],
    [["fr", "es-US"], "es-US"],
    [["en-GB", "es"], "en-US"],
    [[], "en-US"],
  ])("of a browser that wants %o is %s", (languages, locale) => {
    expect(localeFor(languages, ["en-US", "es-US"])).toBe(locale);
  });
});

test("the pseudo-locale marks words and leaves what people typed", async () => {
  await catalogue.load("en-XA");
  expect(text("phone-sign-signed", { name: "Ada", date: "2026" })).toBe(
    `${marked("Locked by")} Ada ${marked("on")} 2026.`,
  );
});

test("an error carries an id, or what the server said, until it is shown", () => {
  expect(say(saidOf(new Told(message("phone-alarm-again"))))).toBe("Try again");
  expect(say(saidOf(new Told("No room on the disk.")))).toBe("No room on the disk.");
  expect(say(saidOf(new RangeError("odd")))).toBe("odd");
});

test("codes have names, those of a shop's own checklist too", () => {
  expect(gradeName("none")).toBe("OK");
  expect(gradeName("dangerous")).toBe("Unsafe");
  expect(placeName("front-wing-left")).toBe("left front fender");
  expect(placeLabel("roof-2")).toBe("Roof, spot 2");
  expect(placeLabel("3")).toBe("Cylinder 3");
  expect(placeLabel("under-the-seat")).toBe("Under the seat");
  expect(["mm", "in/32", "%", "degF", "lbf.ft", "", "1"].map(unitName)).toEqual([
    ...["mm", "1/32 in", "%", "°F", "lb-ft", "", ""],
  ]);
  expect(withUnit("5", "in/32")).toBe("5/32 in");
  // a fraction typed there is one of an inch
  expect(withUnit("2/32", "in/32")).toBe("2/32 in");
  expect(withUnit("1 1/2", "in/32")).toBe("1 1/2 in");
  expect(withUnit("1", "yr")).toBe("1 year");
});

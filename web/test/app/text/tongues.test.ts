/** Words in English among those of another language: `lang` (HTML Standard, 3.2.6.1, from memory). */

import { h, options, type VNode } from "preact";
import { afterAll, beforeAll, expect, test } from "vitest";
import { catalogue, text } from "../../../src/app/text/catalogue";
import { recordedText } from "../../../src/app/text/say";
import { bare, inEnglish, known, sayLanguages } from "../../../src/app/text/tongues";

const before = options.vnode;
const files = catalogue.files;

beforeAll(async () => {
  sayLanguages();
  // a language that has no word of its own yet
  catalogue.files = { ...files, "/locales/xx-XX/phone.ftl": async () => ({}) };
  await catalogue.load("xx-XX");
});

afterAll(async () => {
  options.vnode = before ?? (() => undefined);
  catalogue.files = files;
  await catalogue.load();
});

function props(vnode: object): Record<string, unknown> {
  return (vnode as VNode).props as Record<string, unknown>;
}

test("a message that the language lacks is English, to the ear too", () => {
  const said = text("phone-cars-none");
  expect(bare(said)).not.toBe(said);
  expect(props(h("p", null, said))).toEqual({ lang: "en-US", children: bare(said) });
});

test("in a sentence only its English words are", () => {
  const [first, english, last] = props(h("p", null, `Freno: ${inEnglish("Hose")}.`)).children as [
    string,
    VNode,
    string,
  ];
  expect([first, last]).toEqual(["Freno: ", "."]);
  expect([english.type, props(english)]).toEqual(["span", { lang: "en-US", children: "Hose" }]);
});

test("a text of the checklist without translation is known by its mark", () => {
  expect(props(h("h3", null, "Brake hoses [en]")).lang).toBe("en-US");
  expect(props(h("h3", null, "Frenos")).lang).toBeUndefined();
  expect(known("Brake hoses [en]")).toBe(inEnglish("Brake hoses [en]"));
  expect(known(3)).toBe(3);
});

test("in an attribute, an option or a field the words stand alone", () => {
  const label = { "aria-label": `Freno: ${inEnglish("Hose")}` };
  expect(props(h("button", label))["aria-label"]).toBe("Freno: Hose");
  expect(props(h("option", null, inEnglish("Hose")))).toEqual({ children: "Hose" });
  expect(props(h("option", null, ["1 ", inEnglish("Hose")])).children).toEqual(["1 ", "Hose"]);
});

test("a cause that was found is said by its id, or in English that says so", () => {
  const value = { cause: ["pulls", "hose"], titles: ["Pulls to one side", "Hose collapsed"] };
  const symptoms = {
    "symptoms/pulls/title": { "Pulls to one side": "Sllup" },
    "symptoms/pulls/causes/hose": { "Hose collapsed": "Esoh" },
  };
  expect(recordedText(value, { symptoms })).toBe("Sllup: Esoh");
  expect(bare(recordedText(value, {}))).toBe("Pulls to one side [en]: Hose collapsed [en]");
});

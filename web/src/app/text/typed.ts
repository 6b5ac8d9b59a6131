/**
 * What people type, understood: the twin of server/bradawl/judge/values/typed.py, because an entry
 * is taken before the judge is there. tests/judge/values/typed.json holds both to one table.
 *
 * Each function gives every meaning that a text may have as a canonical text, the likeliest first:
 * none where nobody could read it, more than one where the person has to be asked.
 */

/**
 * How a person writes: 1,300.50, where a comma only groups by three, and month/day/year; 1.300,50
 * and day.month.year; not known.
 */
export type Style = "us" | "eu" | "";

const LONGEST = 15;
const MONTHS =
  "january,february,march,april,may,june,july,august,september,october,november,december".split(
    ",",
  );

/** Without blanks before and after; every kind of blank inside is a plain one. */
function trimmed(text: string): string {
  return text.replace(/[\t\n\r\v\f\u00a0\u2007\u2009\u202f]/g, " ").replace(/^ +| +$/g, "");
}

function fields(text: string): string[] {
  return text.split(" ").filter((piece) => piece !== "");
}

function lower(text: string): string {
  return text.replace(/[A-Z]/g, (letter) => letter.toLowerCase());
}

/** Fractions that are one character, and the stroke of others. */
const FRACTIONS: Record<string, string> = {
  ...{ "¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8" },
  "\u2044": "/",
};
const SIGNS = /[¼½¾⅛⅜⅝⅞\u2044]/g;

const isDigits = (text: string) => /^[0-9]+$/.test(text);

/** A number: `1300`, `-2.5`, `3/16`, `2 1/4`. `isWhole`: a mark before three digits groups them. */
export function numbers(typed: string, style: Style = "", isWhole = false): string[] {
  let text = trimmed(typed.replace(SIGNS, (sign) => FRACTIONS[sign] ?? ""));
  const sign = /^[-\u2212]/.test(text) ? "-" : "";
  text = trimmed(text.replace(/^[-+\u2212]/, ""));
  if (!text.includes("/")) {
    const found = isWhole ? thousands(text, style) : [];
    const read = found.length > 0 ? found : figures(text, style, isWhole);
    return read.map((figure) => sign + figure);
  }
  const fraction = fractionOf(text);
  return fraction === "" ? [] : [sign + fraction];
}

/** Money, not below zero: `1300`, or with two digits of cents `47.83`. */
export function amounts(typed: string, style: Style = ""): string[] {
  let text = trimmed(typed).toUpperCase();
  for (const sign of ["USD", "EUR", "US", "$", "€", "DOLLARS", "BUCKS"]) {
    if (text.startsWith(sign)) text = trimmed(text.slice(sign.length));
    if (text.endsWith(sign)) text = trimmed(text.slice(0, text.length - sign.length));
  }
  const many = thousands(text, style);
  return (many.length > 0 ? many : figures(text, style, style !== "us")).flatMap((figure) => {
    const [before = "", after = ""] = figure.split(".");
    if (after.length > 2) return [];
    const cents = `${after}00`.slice(0, 2);
    return [cents === "00" ? before : `${before}.${cents}`];
  });
}

/** The meanings of 128k and 2.4K; none for a text that does not end so. */
function thousands(text: string, style: Style): string[] {
  if (!/k$/i.test(text)) return [];
  return figures(trimmed(text.slice(0, -1)), style, false).flatMap((figure) => {
    const [before = "", after = ""] = figure.split(".");
    return after.length > 3 ? [] : [plain(before + after.padEnd(3, "0"))];
  });
}

/** A date as ISO 8601: `2022-06-15`, `2022-06`, `2022`. `months`: their names, January first. */
export function days(typed: string, style: Style = "", months: string[] = []): string[] {
  const text = lower(trimmed(typed));
  if (/[^0-9/. -]/.test(text)) return namedDay(text, months);
  const marks = [...new Set(text.replace(/[0-9 ]/g, ""))];
  const parts = marks.length === 1 ? fields(text.replaceAll(marks[0] ?? "", " ")) : [text];
  const [first = "", second = ""] = parts;
  if (!parts.every(isDigits)) return [];
  let found: string[] = [];
  if (first.length === 4) found = [isoOf(parts)];
  else if (parts.length === 2 && second.length === 4) found = [isoOf([second, first])];
  else if (parts.length === 3) found = shortDay(parts, marks[0] ?? "", style);
  return found.filter((day) => day !== "");
}

/** The meanings of 3/4/2022 and 3.4.2022. */
function shortDay(parts: string[], mark: string, style: Style): string[] {
  const [first = "", second = "", year = ""] = parts;
  const monthFirst = isoOf([year, first, second]);
  const dayFirst = isoOf([year, second, first]);
  const isAmerican = style === "us" && monthFirst !== "" && mark !== ".";
  if (monthFirst === dayFirst || dayFirst === "" || isAmerican) return [monthFirst];
  if (monthFirst === "" || (style === "eu" && mark === ".")) return [dayFirst];
  return style === "eu" || mark === "." ? [dayFirst, monthFirst] : [monthFirst, dayFirst];
}

/** The meanings of a date whose month is a word: Jun 2022, Jun '22, June 15, 2022. */
function namedDay(typed: string, months: string[]): string[] {
  const text = typed.replace(
    /['\u2019]([0-9]{2})$/,
    (_, year: string) => ` ${year < "50" ? "20" : "19"}${year}`,
  );
  const pieces = fields(text.replace(/[/.,'\u2019-]/g, " "))
    .map((piece) => piece.replace(/^([0-9]+)(?:st|nd|rd|th)$/, "$1"))
    .filter((piece) => piece !== "of" && piece !== "de");
  const parts = pieces.filter(isDigits);
  const [word = "", ...others] = pieces.filter((piece) => !isDigits(piece));
  const month = others.length > 0 ? 0 : monthOf(word, months);
  if (month === 0) return [];
  if (parts.length === 2 && (parts[0] ?? "").length <= 2) parts.reverse();
  else if (parts.length > 2 || parts[0]?.length !== 4) return [];
  const [year = "", ...day] = parts;
  const found = isoOf([year, String(month), ...day]);
  return found === "" ? [] : [found];
}

/** 1 to 12 for three letters or more of a month's name; 0 for anything else. */
function monthOf(word: string, months: string[]): number {
  if (word.length < 3) return 0;
  const found = new Set<number>();
  for (const names of [MONTHS, months]) {
    names.forEach((name, i) => {
      if (lower(name).startsWith(word)) found.add(i + 1);
    });
  }
  return found.size === 1 ? ([...found][0] ?? 0) : 0;
}

/** Year, month and day as ISO 8601; "" for a day that does not exist. 00 to 49 are 2000 to 2049. */
function isoOf([year = "", ...rest]: string[]): string {
  const whole = year.length === 2 ? `${year < "50" ? "20" : "19"}${year}` : year;
  if (whole.length !== 4 || Number(whole) < 1880 || rest.some(({ length }) => length > 2))
    return "";
  const parts = rest.map((part) => part.padStart(2, "0"));
  const [month = "01", day = "01"] = parts;
  const date = new Date(`${whole}-${month}-${day}T00:00Z`);
  // a day that its month lacks lands in the next month
  const isReal = date.getTime() > -Infinity && date.getUTCDate() === Number(day);
  return isReal ? [whole, ...parts].join("-") : "";
}

/** 3/16, 2 1/4 (also typed as 2-1/4); "" for anything else. */
function fractionOf(text: string): string {
  const [left = "", right = "", ...more] = text.split("/");
  const above = fields(left.replaceAll("-", " "));
  const below = trimmed(right);
  const isRead = [...above, below].every((part) => part.length <= LONGEST && isDigits(part));
  if (!isRead || more.length > 0 || above.length < 1 || above.length > 2 || /^0+$/.test(below)) {
    return "";
  }
  return `${above.join(" ")}/${below}`;
}

/** Whether `mark` groups the digits of text by three: 1.234.567, not 0.790. */
function isGrouped(text: string, mark: string): boolean {
  const [first = "", ...rest] = text.split(mark);
  return (
    first.length >= 1 &&
    first.length <= 3 &&
    !first.startsWith("0") &&
    rest.every(({ length }) => length === 3)
  );
}

/** The meanings of digits with points, commas and blanks between them. */
function figures(typed: string, style: Style, isWhole: boolean): string[] {
  let text = typed;
  const blank = [..." '\u2019"].find((mark) => text.includes(mark));
  if (blank !== undefined) {
    const before = text.split(/[,.]/)[0] ?? "";
    if (!isGrouped(before, blank) || text.slice(before.length).includes(blank)) return [];
    text = text.replaceAll(blank, "");
  }
  const hasComma = text.includes(",");
  let found = [text];
  if (hasComma && text.includes(".")) {
    const at = Math.max(text.lastIndexOf(","), text.lastIndexOf("."));
    const before = text.slice(0, at);
    const group = text[at] === "," ? "." : ",";
    if (before.includes(text[at] ?? "") || !isGrouped(before, group)) return [];
    if (style === "us" && group === ".") return [];
    found = [`${before.replaceAll(group, "")}.${text.slice(at + 1)}`];
  } else if (hasComma || text.includes(".")) {
    found = oneMark(text, hasComma ? "," : ".", style, isWhole, blank === undefined);
  }
  return found.map(plain).filter((figure) => figure !== "");
}

/** The meanings of 1,300 and 1.300, of 12.5, of 1,234,567. */
function oneMark(
  text: string,
  mark: "," | ".",
  style: Style,
  isWhole: boolean,
  mayGroup: boolean,
): string[] {
  const grouped = text.replaceAll(mark, "");
  const pointed = text.replace(mark, ".");
  const canGroup = mayGroup && isGrouped(text, mark);
  if (text.split(mark).length > 2) return canGroup ? [grouped] : [];
  if (!canGroup) return style === "us" && mark === "," ? [] : [pointed];
  if (isWhole) return [grouped];
  if (style === "us") return [mark === "," ? grouped : pointed];
  return (mark === ",") === (style === "eu") ? [pointed, grouped] : [grouped, pointed];
}

/** Digits with one point at most, as they are written: 0.812; "" for anything else. */
function plain(figure: string): string {
  const [before = "", after = ""] = figure.split(".");
  if (before.length + after.length > LONGEST || !isDigits(before + after)) return "";
  const whole = before.replace(/^0+/, "") || "0";
  return after === "" ? whole : `${whole}.${after}`;
}

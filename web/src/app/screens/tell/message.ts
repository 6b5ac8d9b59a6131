/**
 * What a partner is told in one plain paragraph, made of judged facts alone: answers, titles of
 * checks, places, sums. No note and no typed reason goes along; without money no amount does,
 * whoever wrote it.
 */

import type { Assessment, Said } from "../../../shared/contract";
import { catalogue, text } from "../../text/catalogue";
import { about } from "../../text/estimates";
import { listed, money } from "../../text/formats";
import { gradeName } from "../../text/names";
import { say } from "../../text/say";
import { bare } from "../../text/tongues";
import { photosOf } from "../../visit/items/item-record";
import { payingLess, whereOf } from "../../visit/paying-less";
import { reasonsThatCount } from "../../visit/reasons-that-count";
import { driveNow } from "../../visit/standing";
import type { Visit } from "../../visit/visit";

const DANGERS = 3;
export const MOST_PHOTOS = 4;
/** Where a photo may show a price, a name or an address. */
const PAPERS = ["papers", "upkeep"];
/** Money by its sign or word: "$9", "900 bucks"; and digits that may be an amount: "1,300", "130". */
const MONEY_WORD = /\p{Sc}|\d\s*(k\b|grand|bucks|usd|eur|dollars?)/iu;
const DIGITS = /\d[\d.,\s]*\d\d/u;
/** Of the answers whether to buy, what is left of one that a price decides. */
const WITHOUT_PRICE: Record<string, string> = { "judge-buy-walk-price": "judge-buy-walk" };
const OF_PRICE = ["judge-buy-no-value", "judge-buy-up-to"];

/** Whether an amount of money stands anywhere in what the judge says. */
function hasMoney(said: unknown): boolean {
  if (typeof said !== "object" || said === null) return false;
  return "money" in said || Object.values(said).some(hasMoney);
}

/** Whether somebody typed what may be an amount. */
export function namesAmount(typed: string): boolean {
  return MONEY_WORD.test(typed) || DIGITS.test(typed);
}

/** A clause as it may be told; "" for one that only money makes. */
function clause(said: Said | undefined, visit: Visit, withMoney: boolean): string {
  if (said === undefined) return "";
  const { rules } = visit.bundle;
  if (withMoney) return say(said, rules);
  const plain = WITHOUT_PRICE[said.id];
  if (plain !== undefined) return catalogue.find(plain);
  return OF_PRICE.includes(said.id) || hasMoney(said) ? "" : say(said, rules);
}

/** What a check is called; a finding's own words only where they name no amount. */
function titleOf(visit: Visit, id: string, withMoney: boolean): string {
  const own = visit.own.value.find((item) => item.id === id);
  if (own === undefined) return visit.item(id)?.title ?? id;
  const isTold = own.title !== "" && (withMoney || !namesAmount(own.title));
  const area = visit.bundle.areas.find((one) => one.id === own.area);
  return isTold ? own.title : (area?.title ?? text("judge-own-untitled"));
}

/** The car by what it is; a name that somebody gave it in the list stays there. */
function carOf(visit: Visit, withMoney: boolean): string {
  const told = ["car/year", "car/make", "car/model"]
    .map((put) => visit.text(put))
    // a model may be a number; with a sign or a word of money it is none
    .filter((part) => part !== "" && (withMoney || !MONEY_WORD.test(part)));
  return told.length === 0 ? text("phone-cars-unnamed") : told.join(" ");
}

/** The worst that was found: title, place and rating of each. */
function dangers(visit: Visit, assessment: Assessment, withMoney: boolean): string {
  const graded = [
    ...driveNow(assessment).reasons.filter(({ seen }) => seen),
    ...assessment.decision.overruled,
  ].map(({ item }) => item);
  const unsafe = [...new Set([...graded, ...assessment.findings])].filter((item) => {
    const judged = assessment.items[item];
    const isMended = assessment.now?.mended.includes(item) === true;
    return (judged?.grade === "dangerous" || judged?.measured === "dangerous") && !isMended;
  });
  if (unsafe.length === 0) return text("tell-no-dangers");
  const told = unsafe.slice(0, DANGERS).map((item) => {
    const title = titleOf(visit, item, withMoney);
    const where = whereOf(visit, item);
    return where === "" ? title : text("tell-at", { title, where });
  });
  const rest = unsafe.length - told.length;
  if (rest > 0) told.push(text("tell-more", { count: rest }));
  return text("tell-dangers", { grade: gradeName("dangerous"), titles: listed(told) });
}

function sums(visit: Visit, assessment: Assessment): string {
  const { currency, totals } = assessment.money;
  const groups = payingLess(visit, assessment).filter(({ count }) => count > 0);
  if (groups.length === 0) return "";
  return text("tell-sums", {
    sums: listed(
      groups.map(({ group, amount }) =>
        text("tell-sum", {
          group: text(`phone-decide-group-${group}`),
          amount: about(amount, currency),
        }),
      ),
    ),
    all: about(totals.expected, currency),
  });
}

/** The sentences without amounts that somebody typed into the name of a finding of their own. */
function withoutTyped(visit: Visit, said: string): string {
  return visit.own.value
    .filter(({ title }) => title !== "" && namesAmount(title))
    .reduce((told, { id, title }) => told.replaceAll(title, titleOf(visit, id, false)), said);
}

/** The paragraph as it goes out. */
export function paragraph(visit: Visit, assessment: Assessment, withMoney: boolean): string {
  const { answers } = assessment.decision;
  const { asking, walk_away } = assessment.money.price;
  const price = withMoney ? say(assessment.money.price.said, visit.bundle.rules) : "";
  const first = (question: "buy" | "drive" | "price" | "now") =>
    clause(answers[question]?.[0]?.said, visit, withMoney);
  const isAsked =
    asking !== null &&
    !(walk_away !== null && price.includes(money(asking, assessment.money.currency)));
  // as it stands: work with proof may have changed what was found
  const drive =
    assessment.now === undefined
      ? first("drive")
      : say(assessment.now.drive_home.said, visit.bundle.rules);
  const parts = [
    text("tell-car", { car: carOf(visit, withMoney) }),
    first("buy"),
    drive,
    withMoney ? first("price") || price : "",
    withMoney && asking !== null && isAsked
      ? text("tell-asking", { amount: money(asking, assessment.money.currency) })
      : "",
    first("now"),
    dangers(visit, assessment, withMoney),
    withMoney ? sums(visit, assessment) : "",
    say(assessment.coverage.said, visit.bundle.rules),
    text("tell-evidence"),
    text("tell-caution"),
  ];
  const said = bare([...new Set(parts.filter((part) => part !== ""))].join(" "));
  return withMoney ? said : withoutTyped(visit, said);
}

/** The photos that may go along, those first that show what counts most. */
export function photosToTell(visit: Visit, assessment: Assessment, withMoney: boolean): string[] {
  const isPaper = (item: string) => PAPERS.includes(item.split(".")[0] ?? "");
  const counting = [
    ...reasonsThatCount(assessment).map(({ item }) => item),
    ...assessment.findings,
  ].filter((item) => item !== "" && (withMoney || !isPaper(item)));
  const of = [...new Set(counting)].map((item) => photosOf(visit, item));
  const firsts = of.flatMap((photos) => photos.slice(0, 1));
  return [...new Set([...firsts, ...of.flat()])];
}

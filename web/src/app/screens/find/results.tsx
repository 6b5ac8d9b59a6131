/** A result: what it is, where it stands, how it stands, and a tap that leads there. */

import type { Item } from "../../../shared/contract";
import { GradeWord } from "../../components/grades/grade-mark";
import { address, type Route } from "../../state/routes";
import { text } from "../../text/catalogue";
import { wordsOf } from "../../text/word-index";
import { type Target, typedAt } from "../../visit/find/finding";
import { shownGrade } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";

export function rowId(id: string): string {
  return `found-${id.replaceAll(/[^a-z0-9-]/gi, "-")}`;
}

/** What somebody wrote there that has one of the words. */
function writtenWith(visit: Visit, item: Item, words: string): string | null {
  const wanted = wordsOf(words);
  const hit = typedAt(visit, item.id).find((one) => {
    const there = wordsOf(one.text);
    return wanted.some((word) => there.some((own) => own.startsWith(word)));
  });
  return hit === undefined ? null : text("phone-find-typed", hit);
}

interface Props {
  id: string;
  visit: Visit;
  target: Target;
  words: string;
  isAsked: boolean;
  to: (item: Item) => Route;
}

function titleOf(target: Target): string {
  if (target.kind === "item") return target.item.title;
  if (target.kind === "own") return target.item.title || text("phone-find-own");
  if (target.kind === "fact") return text("phone-find-typed", { ...target, text: target.value });
  return target.title;
}

function routeTo({ visit, target, to }: Props): Route {
  switch (target.kind) {
    case "item":
      return visit.judged(target.item.id)?.applies === false
        ? { screen: "facts", visit: visit.id }
        : to(target.item);
    case "fact":
      return { screen: "facts", visit: visit.id };
    case "own":
      return { screen: "own", visit: visit.id, item: target.item.id };
    case "area":
      return { screen: "area", visit: visit.id, area: target.id, item: null };
    case "stage":
      return { screen: "stage", visit: visit.id, stage: target.id, item: null };
  }
}

function State({ visit, item, isAsked }: { visit: Visit; item: Item; isAsked: boolean }) {
  if (visit.judged(item.id)?.applies === false) return <>{text("phone-find-unfit")}</>;
  if (!isAsked) return <>{text("phone-find-add")}</>;
  return <GradeWord grade={shownGrade(visit, item)} isMended={visit.mended.value.has(item.id)} />;
}

function detailOf({ visit, target, words }: Props): string {
  const name = (list: { id: string; title: string }[], id: string) =>
    list.find((one) => one.id === id)?.title ?? id;
  const { areas, stages } = visit.bundle;
  if (target.kind === "item") {
    const { item } = target;
    const place = `${name(areas, item.area)} · ${name(stages, item.stage)}`;
    return writtenWith(visit, item, words) ?? place;
  }
  if (target.kind === "own") return name(areas, target.item.area);
  if (target.kind === "fact") return text("phone-find-fact");
  return text(target.kind === "area" ? "phone-find-area" : "phone-find-step");
}

export function ResultRow(props: Props) {
  const { id, visit, target, isAsked } = props;
  return (
    <li>
      <a class="row" id={rowId(id)} data-found={id} href={address(routeTo(props))}>
        <span class="row-title">{titleOf(target)}</span>
        <span class="row-state">
          {"item" in target && <State visit={visit} item={target.item} isAsked={isAsked} />}
        </span>
        <span class="row-detail">{detailOf(props)}</span>
      </a>
    </li>
  );
}

/** Before signing: what was found, what is missing, how many photos. */

import { FAULTS, type Item } from "../../../shared/contract";
import { ItemGrade } from "../../components/grades/item-grade";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { unsorted } from "../../visit/capture/captured";
import { isByEye, photosOf, shownGrade } from "../../visit/items/item-record";
import { isOwn } from "../../visit/items/own-findings";
import type { Visit } from "../../visit/visit";

import "../../../style/rows.css";

function ItemLine({ visit, item }: { visit: Visit; item: Item }) {
  return (
    <li>
      <a
        class="row"
        href={address(
          isOwn(item.id)
            ? { screen: "own", visit: visit.id, item: item.id }
            : { screen: "area", visit: visit.id, area: item.area, item: item.id },
        )}
      >
        <span class="row-title">{item.title || text("judge-own-untitled")}</span>
        <span class="row-state">
          <ItemGrade visit={visit} item={item} />
        </span>
      </a>
    </li>
  );
}

function ItemList({ title, items, visit }: { title: string; items: Item[]; visit: Visit }) {
  if (items.length === 0) return null;
  return (
    <details class="part" open={items.length <= 12}>
      <summary>{text("phone-sign-list", { title, count: items.length })}</summary>
      <ul class="rows">
        {items.map((item) => (
          <ItemLine key={item.id} visit={visit} item={item} />
        ))}
      </ul>
    </details>
  );
}

/** `items` are all of the visit, `open` those without an answer. */
export function CheckList({ visit, items, open }: { visit: Visit; items: Item[]; open: Item[] }) {
  const grade = (item: Item) => shownGrade(visit, item);
  const all = [...items, ...visit.own.value];
  const faults = all.filter((item) => FAULTS.some((fault) => fault === grade(item)));
  const byEye = items.filter((item) => isByEye(visit, item));
  const uninspected = items.filter((item) => grade(item) === "uninspected");
  const problems = all.filter((item) => (visit.judged(item.id)?.problems ?? []).length > 0);
  const photos = all.reduce((sum, item) => sum + photosOf(visit, item.id).length, 0);
  const waiting = unsorted(visit).length;
  return (
    <>
      <dl class="sums">
        <dt>{text("phone-sign-answered")}</dt>
        <dd>
          {items.length - open.length} / {items.length}
        </dd>
        <dt>{text("phone-sign-photos")}</dt>
        <dd>{photos}</dd>
        {waiting > 0 && (
          <>
            <dt>
              <a href={address({ screen: "sort", visit: visit.id })}>
                {text("phone-sign-unsorted")}
              </a>
            </dt>
            <dd>{waiting}</dd>
          </>
        )}
      </dl>
      <ItemList title={text("phone-sign-problems")} items={problems} visit={visit} />
      <ItemList title={text("phone-sign-found")} items={faults} visit={visit} />
      <ItemList title={text("grade-none-eye")} items={byEye} visit={visit} />
      <ItemList title={text("phone-sign-open")} items={open} visit={visit} />
      <ItemList title={text("grade-uninspected")} items={uninspected} visit={visit} />
    </>
  );
}

/** Every complaint by what it is about; those that were begun on this car first, with how they stand. */

import { useEffect, useState } from "preact/hooks";
import type { Complaint, Symptom } from "../../../shared/contract";
import { ScreenFrame } from "../../components/frame/screen-frame";
import type { Complaints } from "../../state/bundles";
import { address } from "../../state/routes";
import { catalogue, text } from "../../text/catalogue";
import { argument } from "../../text/say";
import { carName } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { judged } from "./use-complaint";

import "../../../style/rows.css";

/** How complaints are ordered (server/bradawl/desk/model/diagnosis/complaints.py has the same). */
const GROUPS = [
  ...["starting", "running", "smoke", "cooling", "electrics", "brakes", "steering", "ride"],
  ...["drivetrain", "smells"],
];

function begunIn(visit: Visit): Set<string> {
  const begun = Object.entries(visit.cells.value).filter(
    ([put, { value }]) => put.startsWith("trouble/") && value !== null,
  );
  return new Set(begun.map(([put]) => put.split("/")[1] ?? ""));
}

/** How a complaint that was begun stands, in one line. */
function Standing({ visit, written }: { visit: Visit; written: Symptom }) {
  const [seen, setSeen] = useState<Complaint | null>(null);
  const cells = visit.cells.value;
  useEffect(() => {
    let isThere = true;
    judged(visit, written, cells).then(
      (complaint) => isThere && setSeen(complaint),
      () => undefined,
    );
    return () => {
      isThere = false;
    };
  }, [visit, written, cells]);
  const first = seen?.causes[0];
  if (first === undefined) return null;
  return (
    <strong>
      {text("trouble-stands", {
        standing: catalogue.find(`trouble-is-${first.standing}`),
        cause: argument(first.title, visit.bundle.rules),
      })}
    </strong>
  );
}

function Rows({
  visit,
  title,
  rows,
  tables,
}: {
  visit: Visit;
  title: string;
  rows: Symptom[];
  tables: Complaints | null;
}) {
  if (rows.length === 0) return null;
  return (
    <section aria-label={title}>
      <h2>{title}</h2>
      <ul class="rows">
        {rows.map((row) => {
          const { id, title: name, says } = row;
          const written = tables?.written.find((table) => table.id === id);
          return (
            <li key={id}>
              <a
                class="row"
                data-complaint={id}
                href={address({ screen: "trouble", visit: visit.id, complaint: id })}
              >
                <span class="row-title">{name}</span>
                <span class="row-detail">
                  {written === undefined ? says : <Standing visit={visit} written={written} />}
                </span>
              </a>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

export function ComplaintList({ visit, tables }: { visit: Visit; tables: Complaints }) {
  const [wanted, setWanted] = useState("");
  const begun = begunIn(visit);
  const words = wanted.toLowerCase().split(/\s+/).filter(Boolean);
  const fits = ({ title, says, causes }: Symptom) => {
    const all = [title, says, ...causes.map((cause) => cause.title)].join(" ").toLowerCase();
    return words.every((word) => all.includes(word));
  };
  const shown = tables.read.filter(fits);
  return (
    <ScreenFrame
      title={text("trouble-title")}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
    >
      <p>{text("trouble-intro")}</p>
      <input
        type="search"
        class="trouble-search"
        aria-label={text("trouble-search")}
        placeholder={text("trouble-search")}
        value={wanted}
        onInput={({ currentTarget }) => setWanted(currentTarget.value)}
      />
      {shown.length === 0 && <p role="status">{text("trouble-none")}</p>}
      <Rows
        visit={visit}
        title={text("trouble-begun")}
        rows={shown.filter(({ id }) => begun.has(id))}
        tables={tables}
      />
      {GROUPS.map((group) => (
        <Rows
          key={group}
          visit={visit}
          title={catalogue.find(`trouble-group-${group}`)}
          rows={shown.filter((row) => row.group === group && !begun.has(row.id))}
          tables={null}
        />
      ))}
    </ScreenFrame>
  );
}

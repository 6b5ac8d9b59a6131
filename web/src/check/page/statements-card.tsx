/** The main statements: what the report says, what the judge in this page says, what pages print. */

import { useEffect, useState } from "preact/hooks";
import type { Bundle } from "../../shared/contract";
import { Judge } from "../judge/judge";
import { type Printed, printedOf } from "../judge/printed";
import { type Rejudged, rejudged } from "../judge/rejudge";
import { type Run, runsOf } from "../pdf/page-text";
import type { Check } from "../report/verdict";
import type { Shop } from "../shop";
import { unpacked, unpackedText } from "./blocks";
import { type Areas, statementTitle, valueText, wordingsOf } from "./wording";
import { text } from "./words";

const DECIDING_PAGES = 2;

export type Again =
  | { state: "working" | "failed" | "no-rules" }
  | { state: "judged"; rows: Rejudged[]; pages: Run[][]; areas: Areas };

interface Court {
  judge: Judge;
  bundle: Bundle;
}

/** The judge with the page's checklist loaded: made for the first report, and kept for the next. */
let court: Promise<Court> | null = null;

async function opened(): Promise<Court> {
  const bundle = JSON.parse(await unpackedText("checklist")) as Bundle;
  const { files } = JSON.parse(await unpackedText("judge")) as { files: Record<string, string> };
  const [script, engine] = await Promise.all([unpackedText("engine-script"), unpacked("engine")]);
  const judge = new Judge({ script, engine, files });
  await judge.load(bundle);
  return { judge, bundle };
}

/** The judge and the checklist of the page put to a report's record. */
export async function judgedAgain(shop: Shop, check: Check): Promise<Again> {
  const { record, manifest, issued } = check;
  if (record === null || manifest === null || issued === null) return { state: "failed" };
  court ??= opened();
  try {
    const { judge, bundle } = await court;
    if (bundle.hash !== record.bundle) return { state: "no-rules" };
    const rows = await rejudged(judge, {
      ...{ record, bundle: bundle.hash, today: manifest.today },
      isSameJudge: manifest.judge === shop.judge,
    });
    const pages = await Promise.all(
      issued
        .pages()
        .slice(0, DECIDING_PAGES)
        .map((page) => runsOf(issued, page).catch(() => [])),
    );
    const areas = new Map(
      bundle.areas.map(({ id, title, report_order }) => [id, { title, order: report_order }]),
    );
    return { state: "judged", rows, pages, areas };
  } catch (problem) {
    // an engine that failed is not asked again
    void court?.then(({ judge }) => judge.close()).catch(() => undefined);
    court = null;
    reportError(problem);
    return { state: "failed" };
  }
}

export function StatementsCard({ shop, check }: { shop: Shop; check: Check }) {
  const [again, setAgain] = useState<Again>({ state: "working" });
  useEffect(() => {
    let isMeant = true;
    setAgain({ state: "working" });
    void judgedAgain(shop, check).then((made) => {
      if (isMeant) setAgain(made);
    });
    return () => {
      isMeant = false;
    };
    // digits that were typed change nothing of the record
  }, [shop, check.record]);
  return (
    <section class="card" data-again={again.state}>
      <h2>{text("check-again")}</h2>
      {again.state === "judged" ? (
        <JudgedAgain {...again} />
      ) : (
        <p>
          {text(again.state === "working" ? "check-again-working" : `check-again-${again.state}`)}
        </p>
      )}
    </section>
  );
}

function JudgedAgain({ rows, pages, areas }: { rows: Rejudged[]; pages: Run[][]; areas: Areas }) {
  const count = (standing: Rejudged["standing"]) =>
    rows.filter((row) => row.standing === standing).length;
  const [differs, withheld, judge] = [count("differs"), count("withheld"), count("judge")];
  const main = rows.filter((row) => isMain(row, areas));
  const further = rows.filter((row) => !isMain(row, areas));
  return (
    <>
      <p>{text("check-again-intro")}</p>
      {differs + withheld + judge === 0 && (
        <p class="strong">{text("check-again-all", { count: rows.length })}</p>
      )}
      {differs > 0 && <p class="notice">{text("check-again-some", { count: differs })}</p>}
      {withheld > 0 && <p class="strong">{text("check-again-withheld", { count: withheld })}</p>}
      {judge > 0 && <p class="strong">{text("check-again-judge", { count: judge })}</p>}
      <StatementTable rows={main} pages={pages} areas={areas} />
      <details>
        <summary>{text("check-again-other", { count: further.length })}</summary>
        <StatementTable rows={further} pages={pages} areas={areas} />
      </details>
      <p class="quiet">{text("check-compare")}</p>
    </>
  );
}

/** So many areas come first in a report (server/bradawl/report/model/contents.py). */
const FIRST_AREAS = 6;

/** What is shown at once: the answers, the counts, the first areas, and whatever is not the same. */
function isMain({ statement, standing }: Rejudged, areas: Areas): boolean {
  const order = areas.get(statement.of)?.order ?? 0;
  return statement.kind !== "area" || order <= FIRST_AREAS || standing !== "same";
}

function StatementTable({
  rows,
  pages,
  areas,
}: {
  rows: Rejudged[];
  pages: Run[][];
  areas: Areas;
}) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{text("check-column-statement")}</th>
          <th scope="col">{text("check-column-report")}</th>
          <th scope="col">{text("check-column-again")}</th>
          <th scope="col">{text("check-column-pages")}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <Row
            key={`${row.statement.kind} ${row.statement.of}`}
            row={row}
            pages={pages}
            areas={areas}
          />
        ))}
      </tbody>
    </table>
  );
}

function Row({ row, pages, areas }: { row: Rejudged; pages: Run[][]; areas: Areas }) {
  const { statement, claimed, standing } = row;
  const wordings = wordingsOf(statement, statement.value);
  const printed = wordings === null ? undefined : printedOf(pages, wordings);
  const again = valueText(statement, statement.value);
  return (
    <tr data-statement={`${statement.kind} ${statement.of}`.trim()} data-standing={standing}>
      <th scope="row">{statementTitle(statement, areas)}</th>
      <td data-label={text("check-column-report")}>
        {claimed === undefined ? text("check-says-nothing") : valueText(claimed, claimed.value)}
      </td>
      <td data-label={text("check-column-again")}>
        {standing === "same" ? text("check-standing-same") : again}
        {standing !== "same" && <small>{text(`check-standing-${standing}`)}</small>}
      </td>
      <td data-label={text("check-column-pages")} data-printed={printedState(printed)}>
        {printed === undefined ? "" : printedText(printed)}
      </td>
    </tr>
  );
}

function printedState(printed: Printed | null | undefined): string {
  if (printed === undefined) return "";
  if (printed === null) return "none";
  return printed.isExpected ? "expected" : "other";
}

function printedText(printed: Printed | null): string {
  if (printed === null) return text("check-pages-none");
  if (printed.isExpected) return text("check-pages-found", { page: printed.page });
  return text("check-pages-other", { said: printed.said });
}

/** Which report it is, as its issuer signed it. */

import { quoted } from "../report/names";
import type { Check } from "../report/verdict";
import { dateText, text } from "./words";

/** `record` is the digest that the code on a paper named, "" without one. */
export function ReportCard({ check: { manifest }, record }: { check: Check; record: string }) {
  if (manifest === null) return null;
  const { edition } = manifest;
  const rows: [string, string][] = [
    [text("check-report-number"), quoted(manifest.report)],
    [text("check-report-made"), dateText(manifest.today)],
    [text("check-report-pages"), String(manifest.pages.length)],
    [
      text("check-report-edition"),
      edition === "condition" || edition === "partner"
        ? text(`check-edition-${edition}`)
        : text("check-edition-other", { name: quoted(edition) }),
    ],
  ];
  if (manifest.replaces !== "") rows.push([text("check-replaces"), quoted(manifest.replaces)]);
  return (
    <section class="card">
      <h2>{text("check-report")}</h2>
      <dl>
        {rows.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      {record !== "" && (
        <p class={record === manifest.record_sha256 ? "strong" : "notice"}>
          {text(record === manifest.record_sha256 ? "check-paper-same" : "check-paper-other")}
        </p>
      )}
    </section>
  );
}

/** The seal that the phone made at the car, and a receipt of it held against it. */

import { useId, useState } from "preact/hooks";
import { WITHHELD_KINDS } from "../report/entry-kind";
import { quoted } from "../report/names";
import type { AttachedRecord, Seal } from "../report/record";
import { type Check, digitsOf } from "../report/verdict";
import { Digits } from "./key-card";
import { text } from "./words";

const LEAST_RECEIPT = 16;

/** The digest in a receipt: typed digits, or the text of the code that the phone showed. */
export function digestIn(receipt: string): string {
  const long = /[0-9a-fA-F]{64}/.exec(receipt);
  return long === null ? digitsOf(receipt) : long[0].toLowerCase();
}

/** How many entries of which kind are left out. */
function withheldParts({ withheld, set_aside }: AttachedRecord): string[] {
  const parts = WITHHELD_KINDS.flatMap((kind) => {
    const count = withheld.filter(([one]) => one === kind).length;
    return count === 0 ? [] : [text(`report-verify-kind-${kind}`, { count })];
  });
  if (set_aside.length === 0) return parts;
  return [...parts, text("report-verify-kind-fenced", { count: set_aside.length })];
}

/** How much of what was signed is shown, and by whom it was signed. */
function coverage({ shown, left_out }: AttachedRecord, { value }: Seal, sealed: number): string {
  const written = String(value.name ?? "");
  const name = written === "" ? text("report-verify-inspector") : quoted(written);
  const left = sealed - shown.length;
  if (left === 0) return text("report-verify-all-shown", { name });
  const counts = { name, shown: shown.length, sealed, left };
  const erased = Number(left_out?.erased ?? 0);
  return erased === 0
    ? text("report-verify-part-shown", counts)
    : text("report-verify-part-erased", { ...counts, erased });
}

export function SealCard({ check }: { check: Check }) {
  const id = useId();
  const [receipt, setReceipt] = useState("");
  const { record, seal } = check;
  if (record === null || seal === null) return null;
  if (seal.seal === null) {
    return (
      <section class="card">
        <h2>{text("check-seal")}</h2>
        <p>{text("report-verify-look-unsigned")}</p>
        <p class="strong">{text("check-seal-no-receipt")}</p>
      </section>
    );
  }
  const shown = record.shown.length;
  const sealed = shown + record.withheld.length + record.set_aside.length;
  const digest = digestIn(receipt);
  const isLong = digest.length >= LEAST_RECEIPT;
  const fits = isLong && seal.sealDigest.startsWith(digest);
  return (
    <section class="card">
      <h2>{text("check-seal")}</h2>
      <p>{coverage(record, seal.seal, sealed)}</p>
      {shown < sealed && (
        <p>{text("report-verify-kinds", { parts: withheldParts(record).join(", ") })}</p>
      )}
      {record.amendments.length > 0 && (
        <p>{text("check-seal-later", { count: record.amendments.length })}</p>
      )}
      <h3>{text("check-seal-digest")}</h3>
      <Digits digits={seal.sealDigest} />
      <label for={id}>{text("check-seal-receipt")}</label>
      <input
        id={id}
        class="typed"
        value={receipt}
        autocomplete="off"
        spellcheck={false}
        aria-describedby={`${id}-hint`}
        onInput={(event) => setReceipt(event.currentTarget.value)}
      />
      <p class="quiet" id={`${id}-hint`}>
        {text("check-seal-receipt-hint")}
      </p>
      <div aria-live="polite">
        {!isLong && <p class="strong">{text("check-seal-no-receipt")}</p>}
        {fits && <p class="strong">{text("check-seal-match")}</p>}
        {isLong && !fits && <p class="notice">{text("check-seal-other")}</p>}
      </div>
    </section>
  );
}

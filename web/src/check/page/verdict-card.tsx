/** The verdict: one look, one word and one shape each. */

import { quoted } from "../report/names";
import type { Check } from "../report/verdict";
import { readable, said, text } from "./words";

/** A tag that is whole, one that nobody has marked, one that is torn through. */
const SHAPES = {
  genuine: "M7 1L39 1L39 17L33 23L1 23L1 7ZM11 12.2L17.4 18.2L30 6.6L27.6 4.2L17.4 13.4L13.4 9.8Z",
  unknown:
    "M7 1L39 1L39 17L33 23L1 23L1 7ZM7.91 3.2L36.8 3.2L36.8 16.09L32.09 20.8L3.2 20.8L3.2 7.91Z" +
    "M18.6 16.2L21.6 16.2L21.6 19.2L18.6 19.2ZM18.6 14.6L18.6 11.4L21.8 9.6L21.8 7.8L18.4 7.8L18.4 9.4L15.6 9.4L15.6 5.2L24.6 5.2L24.6 11L21.6 12.8L21.6 14.6Z",
  changed:
    "M7 1L22.6 1L18.4 8.6L22 11L16.6 23L1 23L1 7ZM26 1L39 1L39 17L33 23L20.4 23L26.2 10.2L22.4 7.6Z",
};

export function VerdictCard({ check }: { check: Check }) {
  const { verdict, sentences, signatures } = check;
  const [issuer] = signatures;
  return (
    <section class={`verdict ${verdict}`} data-verdict={verdict}>
      <svg viewBox="0 0 40 24" aria-hidden="true">
        <path d={SHAPES[verdict]} fill-rule="evenodd" />
      </svg>
      <h2>{text(`check-${verdict}`)}</h2>
      {verdict === "changed" && <p class="strong">{text("check-changed-why")}</p>}
      {sentences.map((sentence) => (
        <p key={sentence.id} data-said={sentence.id}>
          {said(sentence)}
        </p>
      ))}
      {verdict !== "changed" && issuer?.made != null && (
        <p class="quiet">
          {text("report-verify-time", { name: signerOf(check), when: readable(issuer.made) })}
        </p>
      )}
      {verdict !== "changed" && issuer?.isStamped && <p class="quiet">{text("check-stamped")}</p>}
      {verdict === "unknown" && check.known === null && issuer !== undefined && (
        <p>{text("check-unknown-ask", { name: signerOf(check) })}</p>
      )}
    </section>
  );
}

/** The issuer by the name that this page knows, else by the one that the certificate claims. */
function signerOf({ known, signatures: [issuer] }: Check): string {
  const name = known === null || known === "typed" ? issuer?.certificate.name : known.name;
  return name === undefined || name === "" ? text("check-unnamed") : quoted(name);
}

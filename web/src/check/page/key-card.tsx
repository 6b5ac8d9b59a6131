/** Whose key it is: its fingerprint, a place for the digits that the shop itself gives, known keys. */

import { useId } from "preact/hooks";
import { quoted } from "../report/names";
import { type Check, digitsOf, grouped, LEAST_DIGITS } from "../report/verdict";
import type { KnownSigner, Shop } from "../shop";
import { dateText, text } from "./words";

/** Hex digits in groups of four, as they stand on paper. */
export function Digits({ digits }: { digits: string }) {
  return <code class="digits">{grouped(digits)}</code>;
}

export function KeyCard({
  check,
  typed,
  link,
  onType,
}: {
  check: Check;
  typed: string;
  link: string;
  onType: (typed: string) => void;
}) {
  const id = useId();
  const [issuer] = check.signatures;
  if (issuer === undefined) return null;
  const { length } = digitsOf(typed);
  const isOther = length >= LEAST_DIGITS && check.known === null;
  // whose key it is makes nothing of a file that was changed
  const isAsked = check.manifest !== null && (check.known === null || check.known === "typed");
  return (
    <section class="card">
      <h2>{text("check-key")}</h2>
      <Digits digits={issuer.certificate.fingerprint} />
      {isAsked && (
        <>
          <label for={id}>{text("check-typed")}</label>
          <input
            id={id}
            class="typed"
            value={typed}
            autocomplete="off"
            autocapitalize="characters"
            spellcheck={false}
            aria-describedby={`${id}-hint`}
            onInput={(event) => onType(event.currentTarget.value)}
          />
          <p class="quiet" id={`${id}-hint`}>
            {text("check-typed-hint")}
          </p>
          {length > 0 && length < LEAST_DIGITS && (
            <p class="quiet">{text("check-typed-short", { count: length })}</p>
          )}
          {isOther && <p class="notice">{text("check-typed-other")}</p>}
        </>
      )}
      {link !== "" && (
        <p class="quiet">
          {text("check-link", { digits: (link.match(/.{1,4}/g) ?? []).join(" ") })}
        </p>
      )}
    </section>
  );
}

function knownLine({ name, standing, until }: KnownSigner): string {
  const shown = quoted(name);
  if (standing === "own" || standing === "met")
    return text(`check-known-${standing}`, { name: shown });
  return text(`check-known-${standing}`, { name: shown, date: dateText(until) });
}

export function KnownKeys({ shop }: { shop: Shop }) {
  return (
    <details class="card">
      <summary>{text("check-known")}</summary>
      {shop.signers.length === 0 && <p>{text("check-known-none")}</p>}
      <ul class="keys">
        {shop.signers.map((signer) => (
          <li key={signer.fingerprint}>
            <p>{knownLine(signer)}</p>
            <Digits digits={signer.fingerprint} />
          </li>
        ))}
      </ul>
    </details>
  );
}

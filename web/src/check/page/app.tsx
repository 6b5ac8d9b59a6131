/** A place to drop the PDF, and below it what the file comes to. */

import { useEffect, useState } from "preact/hooks";
import { fromBase64url, hex } from "../../store/encoding";
import { type Check, check, digitsOf } from "../report/verdict";
import type { Shop } from "../shop";
import { KeyCard, KnownKeys } from "./key-card";
import { ReportCard } from "./report-card";
import { SealCard } from "./seal-card";
import { StatementsCard } from "./statements-card";
import { VerdictCard } from "./verdict-card";
import { dateText, text } from "./words";

const LARGEST_FILE = 200_000_000;

interface Read {
  /** 1, 2, 3 … as they were chosen. */
  number: number;
  name: string;
  bytes: Uint8Array<ArrayBuffer>;
}

const DIGEST_BYTES = 32;

/** The key's and the record's digests that the code on a paper brought along: they prove nothing. */
function digitsOfLink(): { fingerprint: string; record: string } {
  const [fingerprint = "", record = ""] = location.hash.slice(1).split(".");
  const digits = (part: string) => {
    if (/^[0-9a-fA-F]{64}$/.test(part)) return part.toLowerCase();
    const bytes = fromBase64url(part, DIGEST_BYTES);
    return bytes === null ? "" : hex(bytes);
  };
  return { fingerprint: digits(fingerprint), record: digits(record) };
}

/** The check of what was chosen, made again for other digits typed; null until it is made. */
function useCheck(shop: Shop, read: Read | null, typed: string): Check | null {
  const [found, setFound] = useState<{ read: Read; check: Check } | null>(null);
  useEffect(() => {
    let isMeant = true;
    if (read !== null) {
      void check(read.bytes, { ...shop, typed: digitsOf(typed) }).then((made) => {
        if (isMeant) setFound({ read, check: made });
      });
    }
    return () => {
      isMeant = false;
    };
  }, [shop, read, typed]);
  // of the file before nothing is shown, not for a moment
  return found !== null && found.read === read ? found.check : null;
}

export function App({ shop }: { shop: Shop }) {
  const [read, setRead] = useState<Read | null>(null);
  const [problem, setProblem] = useState("");
  const [typed, setTyped] = useState("");
  const found = useCheck(shop, read, typed);
  const [link] = useState(digitsOfLink);
  const open = async (file: File | undefined) => {
    if (file === undefined) return;
    if (file.size > LARGEST_FILE) {
      setRead(null);
      setProblem(text("check-too-large"));
      return;
    }
    setProblem("");
    const bytes = new Uint8Array(await file.arrayBuffer());
    setRead((before) => ({ number: (before?.number ?? 0) + 1, name: file.name, bytes }));
  };
  useDrop(open);
  return (
    <>
      <Head shop={shop} />
      <main>
        {crypto.subtle === undefined ? (
          <p class="notice">{text("check-no-crypto")}</p>
        ) : (
          <FilePlace read={read} onOpen={(file) => void open(file)} />
        )}
        {problem !== "" && <p class="notice">{problem}</p>}
        <div aria-live="polite">
          {read !== null && found === null && <p>{text("check-working")}</p>}
          {found !== null && <VerdictCard check={found} />}
        </div>
        {read !== null && found !== null && found.signatures.length > 0 && (
          <KeyCard
            check={found}
            typed={typed}
            link={link.fingerprint.toUpperCase()}
            onType={setTyped}
          />
        )}
        {read !== null && found?.record != null && (
          <div class="cards" key={read.number} data-file={read.name}>
            <StatementsCard shop={shop} check={found} />
            <SealCard check={found} />
            <ReportCard check={found} record={link.record} />
          </div>
        )}
        <KnownKeys shop={shop} />
      </main>
      <footer>
        <p>{text("check-own-copy")}</p>
        <p>{text("check-made", { date: dateText(shop.made) })}</p>
      </footer>
    </>
  );
}

function Head({ shop }: { shop: Shop }) {
  const { name, address, phone, web } = shop.letterhead;
  return (
    <header>
      {name !== "" && (
        <address>
          <strong>{name}</strong>
          {[address, phone, web].filter(Boolean).map((line) => (
            <span key={line}>{line}</span>
          ))}
        </address>
      )}
      <h1>{name === "" ? text("check-title") : text("check-title-shop", { shop: name })}</h1>
    </header>
  );
}

function FilePlace({
  read,
  onOpen,
}: {
  read: Read | null;
  onOpen: (file: File | undefined) => void;
}) {
  return (
    <section class={read === null ? "place" : "place small"}>
      {read === null ? (
        <p>{text("check-intro")}</p>
      ) : (
        <p>{text("check-file", { name: read.name })}</p>
      )}
      <label class="button">
        <input
          id="file"
          type="file"
          accept="application/pdf,.pdf"
          onChange={(event) => onOpen(event.currentTarget.files?.[0])}
        />
        {read === null ? text("check-choose") : text("check-another")}
      </label>
    </section>
  );
}

/** A file may be dropped anywhere on the page. */
function useDrop(onOpen: (file: File | undefined) => Promise<void>): void {
  useEffect(() => {
    const over = (event: DragEvent) => event.preventDefault();
    const drop = (event: DragEvent) => {
      event.preventDefault();
      void onOpen(event.dataTransfer?.files[0]);
    };
    addEventListener("dragover", over);
    addEventListener("drop", drop);
    return () => {
      removeEventListener("dragover", over);
      removeEventListener("drop", drop);
    };
  });
}

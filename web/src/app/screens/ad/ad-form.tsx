/** An ad is kept as it was: its text, where and when it was seen, and what was asked. */

import { useId, useState } from "preact/hooks";
import { AmountField, wholeAmount } from "../../components/controls/amount-field";
import { today } from "../../device/local-time";
import { text } from "../../text/catalogue";
import { money } from "../../text/formats";
import { keepAd, notePrice, priceIn } from "../../visit/offer/claims";
import type { Visit } from "../../visit/visit";

/** The sentence for an amount that nobody can read; null where it can be. */
function unread(visit: Visit, isWrong: boolean): string | null {
  if (!isWrong) return null;
  return text("claims-price-unread", { example: money(3500, visit.text("about/currency")) });
}

function Day({ value, onPick }: { value: string; onPick: (day: string) => void }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{text("claims-ad-date")}</label>
      <input
        id={id}
        type="date"
        value={value}
        max={today()}
        onInput={({ currentTarget }) => onPick(currentTarget.value)}
      />
    </div>
  );
}

export function AdForm({ visit, onKept }: { visit: Visit; onKept: () => void }) {
  const [words, setWords] = useState("");
  const [source, setSource] = useState("");
  const [date, setDate] = useState(today());
  const [price, setPrice] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [id, sourceId, fileId] = [useId(), useId(), useId()];
  const typed = price ?? priceIn(words);
  const amount = wholeAmount(typed);
  const paste = async () => {
    try {
      setWords(await navigator.clipboard.readText());
      setProblem(null);
    } catch {
      setProblem(text("claims-ad-cant-paste"));
    }
  };
  const open = async (input: HTMLInputElement) => {
    const file = input.files?.[0];
    if (file !== undefined) setWords(await file.text());
    input.value = "";
  };
  const keep = async () => {
    if (words.trim() === "") {
      setProblem(text("claims-ad-empty"));
      return;
    }
    if (amount === undefined) return;
    const ad = { text: words, source: source.trim(), date: date || today() };
    if (await visit.put(keepAd(ad, amount).changes, text("claims-ad-kept"))) onKept();
  };
  return (
    <div class="ad-form">
      <div class="field">
        <label for={id}>{text("claims-ad-text")}</label>
        {problem !== null && (
          <p class="wrong" role="alert">
            {problem}
          </p>
        )}
        <textarea
          id={id}
          rows={6}
          value={words}
          onInput={({ currentTarget }) => setWords(currentTarget.value)}
        />
      </div>
      <div class="photo-buttons">
        <button type="button" onClick={() => void paste()}>
          {text("claims-ad-paste")}
        </button>
        <label class="button" for={fileId}>
          {text("claims-ad-file")}
        </label>
        <input
          id={fileId}
          class="file"
          type="file"
          accept="text/plain,.txt"
          onChange={(event) => void open(event.currentTarget)}
        />
      </div>
      <div class="field">
        <label for={sourceId}>{text("claims-ad-source")}</label>
        <input
          id={sourceId}
          type="text"
          autocomplete="off"
          value={source}
          onInput={({ currentTarget }) => setSource(currentTarget.value)}
        />
      </div>
      <Day value={date} onPick={setDate} />
      <AmountField
        label={text("claims-ad-price")}
        typed={typed}
        onType={setPrice}
        problem={unread(visit, amount === undefined)}
      />
      <button type="button" class="main" onClick={() => void keep()}>
        {text("claims-ad-keep")}
      </button>
    </div>
  );
}

/** A price is noted beside those before it, never over them. */
export function PriceForm({ visit, ad }: { visit: Visit; ad: string }) {
  const [typed, setTyped] = useState("");
  const [isAsked, setAsked] = useState(false);
  const amount = wholeAmount(typed);
  const note = async () => {
    setAsked(true);
    if (amount === undefined || amount === null) return;
    const price = money(amount, visit.text("about/currency"));
    const told = text("claims-price-noted", { price });
    if (await visit.put(notePrice(ad, amount, today()), told)) {
      setTyped("");
      setAsked(false);
    }
  };
  return (
    <div class="ad-price">
      <AmountField
        label={text("claims-price-new")}
        typed={typed}
        onType={setTyped}
        problem={unread(visit, amount === undefined || (isAsked && amount === null))}
      />
      <button type="button" onClick={() => void note()}>
        {text("claims-price-add")}
      </button>
    </div>
  );
}

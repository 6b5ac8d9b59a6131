/** An own entry that the server does not take: which one, why, and going on without it. */

import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { type Cells, visitOf } from "../../../shared/event";
import type { SyncIssue } from "../../../store/exchange/sync-issues";
import { bundles, log, sync } from "../../state/this-page";
import { say, text } from "../../text/catalogue";
import { ConfirmButton } from "../controls/confirm-button";
import { TryAgain } from "./try-again";

/** What an entry is about, in words: the item's title where the checklist knows it. */
async function nameOfEntry(seq: number): Promise<string> {
  const { device } = await log.identity.get();
  const [event] = await log.chains.events(device, seq, 1);
  if (event === undefined) return String(seq);
  const visit = visitOf(event.scope);
  const [kind, item = ""] = event.put.split("/");
  if (visit === null || kind !== "items") return event.put;
  return (await titleOf(await log.rows.cellsOf(visit), item)) ?? event.put;
}

async function titleOf(cells: Cells, item: string): Promise<string | null> {
  const hash = cells["about/bundle"]?.value;
  if (typeof hash !== "string") return null;
  const bundle = await bundles.fetch(hash).catch(() => null);
  return bundle?.items.find(({ id }) => id === item)?.title ?? null;
}

/** The server counts within what was sent, which nobody has seen. */
function withoutPosition(sentence: string): string {
  const reason = sentence.replace(/^Event \d+ of the batch: /, "");
  return reason.charAt(0).toUpperCase() + reason.slice(1);
}

export function RefusedEntry({ issue, save }: { issue: SyncIssue; save: ComponentChildren }) {
  const [name, setName] = useState("");
  const seq = issue.seq ?? 0;
  useEffect(() => {
    void nameOfEntry(seq).then(setName, () => setName(String(seq)));
  }, [seq]);
  return (
    <div class="needs">
      <p class="wrong">{text("phone-issue-entry", { what: name })}</p>
      <p>{withoutPosition(say(issue.said))}</p>
      <p>{text("phone-issue-entry-kept")}</p>
      <TryAgain />
      {save}
      <ConfirmButton
        title={text("phone-issue-entry-leave")}
        sure={text("phone-issue-entry-sure")}
        onSure={() => sync.goOnWithout(seq)}
      />
    </div>
  );
}

/** What was bad at a stop, what to do about it, and how what can be put right beside the road counts. */

import { useState } from "preact/hooks";
import type { DriveLeg } from "../../../../shared/contract";
import type { Said } from "../../../../shared/said";
import { photoServices } from "../../../state/this-page";
import { say, text } from "../../../text/catalogue";
import {
  findingOf,
  mendChanges,
  proofPath,
  type Row,
  rowTitle,
  stopTitle,
} from "../../../visit/after/driving";
import { recordPhoto } from "../../../visit/capture/record-photo";
import type { Visit } from "../../../visit/visit";
import { itemAddress } from "../../decision/item-links";

const DOES = {
  fix: "driving-does-fix",
  cool: "driving-does-cool",
  call: "driving-does-call",
  haul: "driving-does-haul",
} as const;

function PutRight({ visit, row }: { visit: Visit; row: Row }) {
  const [isBusy, setBusy] = useState(false);
  const [problem, setProblem] = useState<Said | null>(null);
  const id = `right-${findingOf(row).replaceAll(".", "-")}`;
  const take = async (input: HTMLInputElement) => {
    const [file] = input.files ?? [];
    if (file === undefined) return;
    setBusy(true);
    const failure = await recordPhoto(photoServices, visit, proofPath(row), file);
    setProblem(failure);
    if (failure === null) {
      await visit.put(mendChanges(row), text("driving-right-noted", { sign: rowTitle(row) }));
    }
    input.value = "";
    setBusy(false);
  };
  return (
    <div class="photo-buttons">
      <label class="button" for={id}>
        {text("driving-right")}
        <span class="visually-hidden">: {rowTitle(row)}</span>
      </label>
      <input
        id={id}
        class="file"
        type="file"
        accept="image/*"
        onChange={(event) => void take(event.currentTarget)}
      />
      {isBusy && <p role="status">{text("phone-photo-preparing")}</p>}
      {problem !== null && (
        <p class="wrong" role="alert">
          {say(problem)}
        </p>
      )}
    </div>
  );
}

export function BadRow({ visit, row, leg }: { visit: Visit; row: Row; leg: DriveLeg }) {
  const { sign } = row;
  const cautions = sign.cautions.flatMap((id) => visit.bundle.cautions[id] ?? []);
  return (
    <li class="drive-bad" data-bad={sign.id}>
      <h3>
        {rowTitle(row)}: {sign.choices.find(({ id }) => id === "bad")?.title}
      </h3>
      <p>
        <strong>{text(DOES[sign.does])}</strong> {sign.text}
      </p>
      {cautions.map(({ title, text: warning }) => (
        <p key={title} class="caution">
          <strong>{text("phone-item-caution", { title })}.</strong> {warning}
        </p>
      ))}
      {(sign.does === "fix" || sign.does === "cool") && <PutRight visit={visit} row={row} />}
      <p class="hint">
        {stopTitle(leg, row.stop)} ·{" "}
        <a href={itemAddress(visit, findingOf(row))}>{text("driving-to-finding")}</a>
      </p>
    </li>
  );
}

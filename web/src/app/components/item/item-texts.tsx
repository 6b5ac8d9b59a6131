/** What is written about an item: its note, and its answer in words where it asks for one. */

import type { Item } from "../../../shared/contract";
import { words } from "../../text/en";
import type { Visit } from "../../visit/visit";
import { TextField } from "../controls/text-field";
import { domId } from "./dom-id";

export function ItemTexts({ visit, item, isOpen }: { visit: Visit; item: Item; isOpen: boolean }) {
  const note = visit.text(`items/${item.id}/note`);
  const record = (kind: "note" | "text") => (text: string) => {
    const put = `items/${item.id}/${kind}`;
    const isEmpty = text === "";
    const message = words.item.recorded(item.title, isEmpty ? "–" : text);
    void visit.put([{ put, value: isEmpty ? null : text }], message);
  };
  return (
    <>
      {(isOpen || note !== "") && (
        <TextField
          id={`note-${domId(item)}`}
          label={words.item.note}
          value={note}
          multiline
          onRecord={record("note")}
        />
      )}
      {item.answers.includes("text") && (
        <TextField
          id={`text-${domId(item)}`}
          label={words.item.text}
          value={visit.text(`items/${item.id}/text`)}
          onRecord={record("text")}
        />
      )}
    </>
  );
}

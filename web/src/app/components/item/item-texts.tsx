/** What is written about an item: its note, and its answer in words where it asks for one. */

import type { Item } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { recordedText } from "../../text/say";
import type { Visit } from "../../visit/visit";
import { TextField } from "../controls/text-field";
import { domId } from "./dom-id";

export function ItemTexts({ visit, item, isOpen }: { visit: Visit; item: Item; isOpen: boolean }) {
  const shown = (kind: "note" | "text") =>
    recordedText(visit.value(`items/${item.id}/${kind}`), visit.bundle.rules);
  const note = shown("note");
  const record = (kind: "note" | "text") => (typed: string) => {
    const put = `items/${item.id}/${kind}`;
    const isEmpty = typed === "";
    const message = text("phone-item-recorded", {
      title: item.title,
      answer: isEmpty ? text("phone-item-nothing") : typed,
    });
    void visit.put([{ put, value: isEmpty ? null : typed }], message);
  };
  return (
    <>
      {(isOpen || note !== "") && (
        <TextField
          id={`note-${domId(item)}`}
          label={text("phone-item-note")}
          value={note}
          multiline
          onRecord={record("note")}
        />
      )}
      {item.answers.includes("text") && (
        <TextField
          id={`text-${domId(item)}`}
          label={text("phone-item-text")}
          value={shown("text")}
          onRecord={record("text")}
        />
      )}
    </>
  );
}

/** One photo, opened: captions by chips, drawing on it, taking it back. */

import { useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import type { MessageId } from "../../../shared/said";
import { photoServices } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { type Chip, recordedText, whysOf } from "../../text/say";
import { recordPhoto } from "../../visit/record-photo";
import type { Visit } from "../../visit/visit";
import { ToggleButtons } from "../controls/choice-buttons";
import { PhotoMarkup } from "./photo-markup";
import { PhotoPicture } from "./photo-picture";

import "./photo-viewer.css";

const CAPTIONS: MessageId[] = [
  "chip-photo-overview",
  "chip-photo-close",
  "chip-photo-below",
  "chip-photo-left",
  "chip-photo-right",
];

const DRAWN: Chip = { term: "chip-photo-drawn" };

type PhotoValue = { [key: string]: Json };

export function OpenPhoto({
  visit,
  item,
  sha256,
  number,
  onClose,
}: {
  visit: Visit;
  item: Item;
  sha256: string;
  number: number;
  onClose: () => void;
}) {
  const put = `items/${item.id}/photos/${sha256}`;
  const value = visit.value(put) as PhotoValue | null;
  const [isDrawing, setDrawing] = useState(false);
  if (value === null) return null;
  const shown = (caption: Json) => recordedText(caption, visit.bundle.rules);
  const caption = shown(value.caption ?? "");
  const name = text("phone-photo-alt", { title: item.title, number });
  const record = (changed: PhotoValue | null, answer: string) =>
    void visit.put([{ put, value: changed }], text("phone-item-recorded", { title: name, answer }));
  // a picture of its own beside the original, which stays as it was taken
  const keepDrawn = async (picture: Blob | null) => {
    setDrawing(false);
    if (picture === null) return;
    const extra = { caption: caption === "" ? DRAWN : (value.caption ?? "") };
    await recordPhoto(photoServices, visit, item, picture, extra);
  };
  if (isDrawing) return <PhotoMarkup sha256={sha256} onDone={keepDrawn} />;
  const captions = CAPTIONS.map((term) => ({ term }));
  const chips = new Map<string, Chip>();
  for (const chip of [...whysOf(item, visit.bundle.rules), ...captions]) {
    if (!chips.has(shown(chip))) chips.set(shown(chip), chip);
  }
  return (
    <div class="open-photo">
      <PhotoPicture sha256={sha256} alt={name} size="full" />
      <p>{caption}</p>
      <ToggleButtons
        className="chips"
        label={text("phone-photo-caption")}
        options={[...chips.keys()].map((said) => ({ id: said, title: said }))}
        pressed={[caption]}
        onToggle={(said) => record({ ...value, caption: chips.get(said) ?? said }, said)}
      />
      <div class="photo-buttons">
        <button type="button" onClick={() => setDrawing(true)}>
          {text("phone-photo-draw")}
        </button>
        <button
          type="button"
          onClick={() => {
            onClose();
            record(null, text("phone-photo-removed"));
          }}
        >
          {text("phone-photo-remove")}
        </button>
        <button type="button" onClick={onClose}>
          {text("phone-close")}
        </button>
      </div>
    </div>
  );
}

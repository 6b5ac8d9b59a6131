/** One photo, opened: captions by chips, drawing on it, taking it back. */

import { useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { photoServices } from "../../state/this-page";
import { words } from "../../text/en";
import { recordPhoto } from "../../visit/record-photo";
import type { Visit } from "../../visit/visit";
import { ToggleButtons } from "../controls/choice-buttons";
import { PhotoMarkup } from "./photo-markup";
import { PhotoPicture } from "./photo-picture";

import "./photo-viewer.css";

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
  const caption = String(value.caption ?? "");
  const name = words.photo.alt(item.title, number);
  const record = (changed: PhotoValue | null, text: string) =>
    void visit.put([{ put, value: changed }], words.item.recorded(name, text));
  // a picture of its own beside the original, which stays as it was taken
  const keepDrawn = async (picture: Blob | null) => {
    setDrawing(false);
    if (picture === null) return;
    const extra = { caption: caption === "" ? words.photo.drawn : caption };
    await recordPhoto(photoServices, visit, item, picture, extra);
  };
  if (isDrawing) return <PhotoMarkup sha256={sha256} onDone={keepDrawn} />;
  const chips = [...new Set([...item.whys, ...words.photo.captions])];
  return (
    <div class="open-photo">
      <PhotoPicture sha256={sha256} alt={name} size="full" />
      <p>{caption}</p>
      <ToggleButtons
        className="chips"
        label={words.photo.caption}
        options={chips.map((chip) => ({ id: chip, title: chip }))}
        pressed={[caption]}
        onToggle={(chip) => record({ ...value, caption: chip }, chip)}
      />
      <div class="photo-buttons">
        <button type="button" onClick={() => setDrawing(true)}>
          {words.photo.draw}
        </button>
        <button
          type="button"
          onClick={() => {
            onClose();
            record(null, words.photo.removed);
          }}
        >
          {words.photo.remove}
        </button>
        <button type="button" onClick={onClose}>
          {words.close}
        </button>
      </div>
    </div>
  );
}

/** One photo over the whole screen: near to the eye, captioned, drawn on, put first, taken back. */

import { useState } from "preact/hooks";
import type { Json } from "../../../shared/event";
import type { MessageId } from "../../../shared/said";
import { photoServices } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { type Chip, recordedText } from "../../text/say";
import type { Near } from "../../visit/capture/captured";
import { recordPhoto } from "../../visit/capture/record-photo";
import type { Visit } from "../../visit/visit";
import { Modal } from "../capture/modal";
import { ToggleButtons } from "../controls/choice-buttons";
import { TextField } from "../controls/text-field";
import { PhotoMarkup } from "./photo-markup";
import { PhotoZoom } from "./photo-zoom";

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

function orderOf(visit: Visit, put: string): number {
  const value = visit.value(put) as PhotoValue | null;
  return typeof value?.order === "number" ? value.order : 0;
}

export function OpenPhoto({
  visit,
  put,
  name,
  chips: own = [],
  before = [],
  onClose,
}: {
  visit: Visit;
  /** Where it is recorded. */
  put: string;
  name: string;
  /** Captions that its check offers. */
  chips?: Chip[];
  /** Paths of the photos that stand before it. */
  before?: string[];
  onClose: () => void;
}) {
  const value = visit.value(put) as PhotoValue | null;
  const [isDrawing, setDrawing] = useState(false);
  if (value === null) return null;
  const under = put.slice(0, put.lastIndexOf("/"));
  const sha256 = put.slice(under.length + 1);
  const shown = (caption: Json) => recordedText(caption, visit.bundle.rules);
  const caption = shown(value.caption ?? "");
  const record = (changed: PhotoValue | null, answer: string) =>
    void visit.put([{ put, value: changed }], text("phone-item-recorded", { title: name, answer }));
  // a picture of its own beside the original, which stays as it was taken
  const keepDrawn = async (picture: Blob | null) => {
    setDrawing(false);
    if (picture === null) return;
    const extra = {
      caption: caption === "" ? DRAWN : (value.caption ?? ""),
      ...(under === "media" ? { kind: "photo" as const, near: (value.near ?? {}) as Near } : {}),
    };
    await recordPhoto(photoServices, visit, under, picture, extra);
  };
  const captions = CAPTIONS.map((term) => ({ term }));
  const chips = new Map<string, Chip>();
  for (const chip of [...own, ...captions]) {
    if (!chips.has(shown(chip))) chips.set(shown(chip), chip);
  }
  return (
    <Modal label={name} className="modal-all" onClose={isDrawing ? () => undefined : onClose}>
      {isDrawing ? (
        <PhotoMarkup sha256={sha256} onDone={keepDrawn} />
      ) : (
        <div class="open-photo">
          <PhotoZoom sha256={sha256} alt={caption === "" ? name : `${name}: ${caption}`} />
          <TextField
            id="photo-caption"
            label={text("phone-photo-caption")}
            value={caption}
            onRecord={(said) => record({ ...value, caption: said.trim() }, said)}
          />
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
            {before.length > 0 && (
              <button
                type="button"
                onClick={() => {
                  const order = Math.min(...before.map((one) => orderOf(visit, one))) - 1;
                  record({ ...value, order }, text("capture-first-said"));
                }}
              >
                {text("capture-first")}
              </button>
            )}
            <button
              type="button"
              onClick={() => {
                onClose();
                record(null, text("phone-photo-removed"));
              }}
            >
              {text("phone-photo-remove")}
            </button>
            <button type="button" class="main" onClick={onClose}>
              {text("phone-close")}
            </button>
          </div>
        </div>
      )}
    </Modal>
  );
}

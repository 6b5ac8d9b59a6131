/** The photos of an item: taken, shown, opened. A photo shows when it is on the disk. */

import { useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { whysOf } from "../../text/say";
import { soundsOf } from "../../visit/capture/captured";
import { photosOf } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { captureParts } from "../capture/parts";
import { PhotoButtons } from "./photo-buttons";
import { PhotoPicture } from "./photo-picture";

import "./item-photos.css";

function Opened({
  visit,
  item,
  shown,
  sha256,
  onClose,
}: {
  visit: Visit;
  item: Item;
  shown: string[];
  sha256: string;
  onClose: () => void;
}) {
  const loaded = captureParts.use();
  if (loaded === null) return null;
  const putOf = (name: string) => `items/${item.id}/photos/${name}`;
  const at = shown.indexOf(sha256);
  return (
    <loaded.OpenPhoto
      visit={visit}
      put={putOf(sha256)}
      name={text("phone-photo-alt", { title: item.title, number: at + 1 })}
      chips={whysOf(item, visit.bundle.rules)}
      before={shown.slice(0, at).map(putOf)}
      onClose={onClose}
    />
  );
}

function Sounds({ visit, item }: { visit: Visit; item: Item }) {
  const loaded = captureParts.use();
  return loaded === null ? null : <loaded.CardSounds visit={visit} item={item} />;
}

/** The recordings of a check; what plays them comes where there are any. */
export function ItemSounds({ visit, item }: { visit: Visit; item: Item }) {
  return soundsOf(visit, item.id).length === 0 ? null : <Sounds visit={visit} item={item} />;
}

export function ItemPhotos({ visit, item }: { visit: Visit; item: Item }) {
  const [open, setOpen] = useState<string | null>(null);
  const shown = photosOf(visit, item.id);
  return (
    <div class="photos">
      <PhotoButtons visit={visit} item={item} />
      <ul class="photo-list">
        {shown.map((sha256, index) => (
          <li key={sha256}>
            <button
              type="button"
              class="photo"
              aria-expanded={open === sha256}
              onClick={() => setOpen(open === sha256 ? null : sha256)}
            >
              <PhotoPicture
                sha256={sha256}
                alt={text("phone-photo-alt", { title: item.title, number: index + 1 })}
              />
            </button>
          </li>
        ))}
      </ul>
      {open !== null && shown.includes(open) && (
        <Opened
          visit={visit}
          item={item}
          shown={shown}
          sha256={open}
          onClose={() => setOpen(null)}
        />
      )}
    </div>
  );
}

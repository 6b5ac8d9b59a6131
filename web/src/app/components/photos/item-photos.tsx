/** The photos of an item: taken, shown, opened. A photo shows when it is on the disk. */

import { useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { photosOf } from "../../visit/item-record";
import type { Visit } from "../../visit/visit";
import { OpenPhoto } from "./open-photo";
import { PhotoButtons } from "./photo-buttons";
import { PhotoPicture } from "./photo-picture";

import "./item-photos.css";

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
        <OpenPhoto
          key={open}
          visit={visit}
          item={item}
          sha256={open}
          number={shown.indexOf(open) + 1}
          onClose={() => setOpen(null)}
        />
      )}
    </div>
  );
}

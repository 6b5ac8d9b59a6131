/** The photos of an item: taken, shown, taken back. A photo is shown when it is on the disk. */

import { useEffect, useState } from "preact/hooks";
import type { Item } from "../../shared/checklist";
import { keepPhoto } from "../../store/photos";
import { PhotoProblem, photoAddress, preparePhoto } from "../photos";
import { alarm } from "../signals";
import { stampText } from "../time";
import type { Visit } from "../visit";
import { words } from "../words";

export function Picture({
  sha256,
  alt,
  size = "thumb",
}: {
  sha256: string;
  alt: string;
  size?: "thumb" | "full";
}) {
  const [address, setAddress] = useState<string | null | undefined>(undefined);
  useEffect(() => {
    let there = true;
    void photoAddress(sha256, size).then((found) => {
      if (there) setAddress(found);
    });
    return () => {
      there = false;
    };
  }, [sha256, size]);
  if (address === null) return <span class="no-preview">{words.photo.noPreview}</span>;
  if (address === undefined) return <span class="photo-wait" />;
  return <img src={address} alt={alt} />;
}

/** Hashes of the photos that stand on an item. */
export function photosOf(visit: Visit, item: string): string[] {
  const prefix = `items/${item}/photos/`;
  return Object.entries(visit.cells.value)
    .filter(([put, cell]) => put.startsWith(prefix) && cell.value !== null)
    .sort(([, a], [, b]) => (a.at < b.at ? -1 : 1))
    .map(([put]) => put.slice(prefix.length));
}

/** Prepare, store, then record. Returns a sentence when it did not work. */
export async function addPhoto(
  visit: Visit,
  item: Item,
  file: Blob,
  extra: { caption?: string; place?: string } = {},
): Promise<string | null> {
  try {
    const photo = await preparePhoto(file);
    const card = await keepPhoto(visit.id, photo);
    const modified =
      file instanceof File && file.lastModified > 0 ? new Date(file.lastModified) : new Date();
    const stored = await visit.put(
      [
        {
          put: `items/${item.id}/photos/${card.sha256}`,
          value: {
            caption: extra.caption ?? "",
            taken: photo.taken ?? stampText(modified),
            width: photo.width,
            height: photo.height,
            bytes: photo.bytes.byteLength,
            type: photo.type,
            ...(extra.place === undefined ? {} : { place: extra.place }),
          },
        },
      ],
      words.photo.added,
    );
    return stored ? null : words.alarm.write;
  } catch (problem) {
    if (problem instanceof PhotoProblem) return problem.message;
    const full = problem instanceof DOMException && problem.name === "QuotaExceededError";
    const text = full ? words.alarm.quota : words.alarm.write;
    alarm.value = { text, again: () => void addPhoto(visit, item, file, extra) };
    return text;
  }
}

export function Photos({ visit, item }: { visit: Visit; item: Item }) {
  const [busy, setBusy] = useState(0);
  const [problem, setProblem] = useState<string | null>(null);
  const take = async (event: Event) => {
    const input = event.currentTarget as HTMLInputElement;
    const files = [...(input.files ?? [])];
    setProblem(null);
    for (const file of files) {
      setBusy((count) => count + 1);
      const said = await addPhoto(visit, item, file);
      setBusy((count) => count - 1);
      if (said !== null) setProblem(said);
    }
    input.value = "";
  };
  const id = `photo-${item.id.replaceAll(".", "-")}`;
  return (
    <div class="photos">
      <div class="photo-buttons">
        <label class="button" for={`${id}-camera`}>
          {words.item.photo}
        </label>
        <input
          id={`${id}-camera`}
          class="file"
          type="file"
          accept="image/*"
          capture="environment"
          onChange={(event) => void take(event)}
        />
        <label class="button" for={`${id}-file`}>
          {words.item.photoFile}
        </label>
        <input
          id={`${id}-file`}
          class="file"
          type="file"
          accept="image/*"
          multiple
          onChange={(event) => void take(event)}
        />
      </div>
      {busy > 0 && <p role="status">{words.photo.preparing}</p>}
      {problem !== null && (
        <p class="wrong" role="alert">
          {problem}
        </p>
      )}
      <ul class="photo-list">
        {photosOf(visit, item.id).map((sha256, index) => (
          <li key={sha256}>
            <Picture sha256={sha256} alt={words.photo.alt(item.title, index + 1)} />
            <button
              type="button"
              class="quiet"
              aria-label={`${words.photo.remove} ${index + 1}`}
              onClick={() =>
                void visit.put(
                  [{ put: `items/${item.id}/photos/${sha256}`, value: null }],
                  words.item.recorded(item.title, words.photo.remove),
                )
              }
            >
              ×
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}

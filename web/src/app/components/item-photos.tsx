/** The photos of an item: taken, shown, drawn on, taken back. A photo shows when it is on the disk. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Item } from "../../shared/contract";
import { StoreVanished } from "../../store/database";
import { closeCamera, openCamera, shoot } from "../device/camera";
import { stampText } from "../device/local-time";
import { PhotoProblem, photoAddress, preparePhoto } from "../device/photo-intake";
import { alarm, preferences } from "../state/app-state";
import { photos } from "../state/storage";
import type { Visit } from "../state/visit";
import { words } from "../text/en";
import { DrawOn } from "./drawing/photo-markup";

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

/** Hashes of the photos that stand on an item, in the order in which they were recorded. */
export function photosOf(visit: Visit, item: string): string[] {
  const prefix = `items/${item}/photos/`;
  return Object.entries(visit.cellsOf(item))
    .filter(([put, cell]) => put.startsWith(prefix) && cell.value !== null)
    .sort(([, a], [, b]) => (a.at < b.at ? -1 : 1))
    .map(([put]) => put.slice(prefix.length));
}

export interface PhotoExtra {
  caption?: string;
  place?: string;
}

/** Prepare, store, then record. Returns a sentence when it did not work. */
export async function addPhoto(
  visit: Visit,
  item: Item,
  file: Blob,
  extra: PhotoExtra = {},
): Promise<string | null> {
  try {
    const photo = await preparePhoto(file);
    const card = await photos.keep(visit.id, photo);
    const modified =
      file instanceof File && file.lastModified > 0 ? new Date(file.lastModified) : new Date();
    const wanted =
      preferences.value.photoPlace && photo.place !== null && visit.text("about/place") === "";
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
        ...(wanted ? [{ put: "about/place", value: photo.place }] : []),
      ],
      words.photo.added,
    );
    return stored ? null : words.alarm.write;
  } catch (problem) {
    if (problem instanceof PhotoProblem) return problem.message;
    // a screen of its own says so
    if (problem instanceof StoreVanished) return problem.message;
    const full = problem instanceof DOMException && problem.name === "QuotaExceededError";
    const text = full ? words.alarm.quota : words.alarm.write;
    alarm.value = { text, again: () => void addPhoto(visit, item, file, extra) };
    return text;
  }
}

/** The picture in the page before it is taken; one tap takes it. */
function Finder({
  stream,
  onShot,
  onClose,
}: {
  stream: MediaStream;
  onShot: (shot: Blob) => void;
  onClose: () => void;
}) {
  const video = useRef<HTMLVideoElement>(null);
  const [ready, setReady] = useState(false);
  useEffect(() => {
    const screen = video.current;
    if (screen === null) return;
    screen.srcObject = stream;
    // a finder that cannot play shows nothing; the file buttons are still there
    void screen.play().catch(() => undefined);
    return () => closeCamera(stream);
  }, [stream]);
  return (
    <div class="finder">
      <video
        ref={video}
        playsInline
        muted
        aria-label={words.photo.finder}
        onLoadedData={() => setReady(true)}
      />
      <div class="finder-row">
        <button type="button" onClick={onClose}>
          {words.close}
        </button>
        <button
          type="button"
          class="main"
          disabled={!ready}
          onClick={async () => {
            const shot = video.current === null ? null : await shoot(video.current);
            if (shot !== null) onShot(shot);
          }}
        >
          {words.photo.shoot}
        </button>
      </div>
    </div>
  );
}

/** The ways to a photo: the camera within the page, and a file. */
export function PhotoButtons({ visit, item, place }: { visit: Visit; item: Item; place?: string }) {
  const [busy, setBusy] = useState(0);
  const [problem, setProblem] = useState<string | null>(null);
  const [stream, setStream] = useState<MediaStream | null>(null);
  const file = useRef<HTMLInputElement>(null);
  const keep = async (picture: Blob) => {
    setProblem(null);
    setBusy((count) => count + 1);
    const said = await addPhoto(visit, item, picture, place === undefined ? {} : { place });
    setBusy((count) => count - 1);
    if (said !== null) setProblem(said);
  };
  const takeFiles = async (event: Event) => {
    const input = event.currentTarget as HTMLInputElement;
    for (const picture of [...(input.files ?? [])]) await keep(picture);
    input.value = "";
  };
  const camera = async () => {
    const opened = await openCamera();
    if (opened === null) file.current?.click();
    else setStream(opened);
  };
  const id = `photo-${item.id.replaceAll(".", "-")}${place === undefined ? "" : `-${place}`}`;
  return (
    <>
      {stream !== null && (
        <Finder
          stream={stream}
          onShot={(shot) => {
            setStream(null);
            void keep(shot);
          }}
          onClose={() => setStream(null)}
        />
      )}
      <div class="photo-buttons">
        <button type="button" onClick={() => void camera()}>
          {words.item.photo}
        </button>
        <input
          ref={file}
          class="file"
          type="file"
          accept="image/*"
          capture="environment"
          hidden
          onChange={(event) => void takeFiles(event)}
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
          onChange={(event) => void takeFiles(event)}
        />
      </div>
      {busy > 0 && <p role="status">{words.photo.preparing}</p>}
      {problem !== null && (
        <p class="wrong" role="alert">
          {problem}
        </p>
      )}
    </>
  );
}

/** One photo, opened: captions by chips, drawing on it, taking it back. */
function OpenPhoto({
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
  const value = visit.value(put) as Record<string, string | number> | null;
  const [drawing, setDrawing] = useState(false);
  if (value === null) return null;
  const caption = String(value.caption ?? "");
  const chips = [...new Set([...(item.whys ?? []), ...words.photo.captions])];
  const name = words.photo.alt(item.title, number);
  if (drawing) {
    return (
      <DrawOn
        sha256={sha256}
        onDone={async (picture) => {
          setDrawing(false);
          // a picture of its own beside the original, which stays as it was taken
          if (picture !== null)
            await addPhoto(visit, item, picture, {
              caption: caption === "" ? words.photo.drawn : caption,
            });
        }}
      />
    );
  }
  return (
    <div class="open-photo">
      <Picture sha256={sha256} alt={name} size="full" />
      <p>{caption}</p>
      {/* biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere */}
      <div class="choices chips" role="group" aria-label={words.photo.caption}>
        {chips.map((chip) => (
          <button
            key={chip}
            type="button"
            class="choice"
            aria-pressed={caption === chip}
            onClick={() =>
              void visit.put(
                [{ put, value: { ...value, caption: chip } }],
                words.item.recorded(name, chip),
              )
            }
          >
            <span>{chip}</span>
          </button>
        ))}
      </div>
      <div class="photo-buttons">
        <button type="button" onClick={() => setDrawing(true)}>
          {words.photo.draw}
        </button>
        <button
          type="button"
          onClick={() => {
            onClose();
            void visit.put([{ put, value: null }], words.item.recorded(name, words.photo.removed));
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

export function Photos({ visit, item }: { visit: Visit; item: Item }) {
  const [open, setOpen] = useState<string | null>(null);
  const here = photosOf(visit, item.id);
  return (
    <div class="photos">
      <PhotoButtons visit={visit} item={item} />
      <ul class="photo-list">
        {here.map((sha256, index) => (
          <li key={sha256}>
            <button
              type="button"
              class="photo"
              aria-expanded={open === sha256}
              onClick={() => setOpen(open === sha256 ? null : sha256)}
            >
              <Picture sha256={sha256} alt={words.photo.alt(item.title, index + 1)} />
            </button>
          </li>
        ))}
      </ul>
      {open !== null && here.includes(open) && (
        <OpenPhoto
          key={open}
          visit={visit}
          item={item}
          sha256={open}
          number={here.indexOf(open) + 1}
          onClose={() => setOpen(null)}
        />
      )}
    </div>
  );
}

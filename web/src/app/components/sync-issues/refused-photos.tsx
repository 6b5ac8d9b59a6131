/** Photos that the server will not have: which ones, why, and taking them again or dropping them. */

import { useEffect, useState } from "preact/hooks";
import { inspection } from "../../../shared/event";
import { message } from "../../../shared/said";
import type { PhotoFacts } from "../../../store/photos";
import { address } from "../../state/routes";
import { alarm, bundles, log, open, photos, sync, syncState } from "../../state/this-page";
import { say, text } from "../../text/catalogue";
import { carNameOf, photosIn, textIn } from "../../visit/items/item-record";
import { ConfirmButton } from "../controls/confirm-button";
import { PhotoPicture } from "../photos/photo-picture";
import { TryAgain } from "./try-again";

/** Where a photo stands: its visit's name, its item, and the how-many-th it is there. */
interface PhotoPlace {
  visit: string;
  car: string;
  area: string;
  item: string;
  title: string;
  number: number;
  put: string;
}

async function placeOf({ sha256, visit }: PhotoFacts): Promise<PhotoPlace | null> {
  const cells = await log.rows.cellsOf(visit);
  const put = Object.keys(cells).find(
    (path) => path.endsWith(`/${sha256}`) && cells[path]?.value != null,
  );
  if (put === undefined) return null;
  const item = put.startsWith("media/") ? "" : (put.split("/")[1] ?? "");
  const hash = cells["about/bundle"]?.value;
  const bundle = typeof hash === "string" ? await bundles.fetch(hash).catch(() => null) : null;
  const checked = bundle?.items.find(({ id }) => id === item);
  return {
    visit,
    car: carNameOf((path) => textIn(cells, path)),
    area: checked?.area ?? "",
    item,
    title: checked?.title ?? (item || text("phone-sign-unsorted")),
    number: Math.max(1, photosIn(cells, item).indexOf(sha256) + 1),
    put,
  };
}

async function dropPhoto(photo: PhotoFacts, place: PhotoPlace | null): Promise<void> {
  try {
    if (place !== null) {
      const scope = inspection(place.visit);
      await log.append([{ scope, put: place.put, value: null }]);
      await open.changed(place.visit);
    }
    await photos.drop(photo.sha256);
  } catch {
    alarm.value = { said: message("phone-alarm-write"), again: () => void dropPhoto(photo, place) };
    return;
  }
  await sync.countAnew();
  void sync.now();
}

function RefusedPhoto({ photo }: { photo: PhotoFacts }) {
  const [place, setPlace] = useState<PhotoPlace | null>(null);
  useEffect(() => {
    void placeOf(photo).then(setPlace, () => setPlace(null));
  }, [photo]);
  const name =
    place === null
      ? text("phone-issue-photo-gone")
      : text("phone-photo-alt", { number: place.number, title: place.title });
  return (
    <div class="needs">
      <div class="needs-what">
        <PhotoPicture sha256={photo.sha256} alt={name} />
        <div>
          <p class="wrong">{name}</p>
          {place !== null && <p>{text("phone-issue-photo-of-car", { name: place.car })}</p>}
          <p>{say(photo.refused ?? "")}</p>
        </div>
      </div>
      {place !== null && place.area !== "" && (
        <a
          class="button"
          href={address({ screen: "area", visit: place.visit, area: place.area, item: place.item })}
        >
          {text("phone-issue-photo-take")}
        </a>
      )}
      <TryAgain />
      <ConfirmButton
        title={text("phone-issue-photo-drop")}
        sure={text("phone-issue-photo-sure")}
        onSure={() => dropPhoto(photo, place)}
      />
    </div>
  );
}

export function RefusedPhotos() {
  const [refused, setRefused] = useState<PhotoFacts[]>([]);
  const { refusedPhotos, unsentPhotos } = syncState.value;
  useEffect(() => {
    void [refusedPhotos, unsentPhotos];
    void photos.unsent().then(
      (all) => setRefused(all.filter((photo) => photo.refused !== undefined)),
      () => undefined,
    );
  }, [refusedPhotos, unsentPhotos]);
  if (refused.length === 0) return null;
  return (
    <>
      {refused.map((photo) => (
        <RefusedPhoto key={photo.sha256} photo={photo} />
      ))}
    </>
  );
}

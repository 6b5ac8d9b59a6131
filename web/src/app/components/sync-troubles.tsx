/** What stands in the way of sending, why, and what the person can do about each. */

import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Cells } from "../../shared/event";
import { visitOf } from "../../shared/event";
import type { Trouble } from "../../store/exchange/troubles";
import type { PhotoFacts } from "../../store/photos";
import { alarm, syncState } from "../state/app-state";
import { findUpdate } from "../state/app-update";
import { fetchBundle } from "../state/bundles";
import { openVisit } from "../state/open-visit";
import { address } from "../state/router";
import { facts, log, photos } from "../state/storage";
import { countAnew, goOnWithout, sendNow, tryAgain } from "../state/sync-schedule";
import { words } from "../text/en";
import { Picture } from "./item-photos";
import { Twice } from "./two-tabs";

const texts = words.trouble;

function Again() {
  return (
    <button type="button" class="button" onClick={() => void tryAgain()}>
      {texts.again}
    </button>
  );
}

/** What an entry is about, in words: the item's title where the checklist knows it. */
async function nameOfEntry(seq: number): Promise<string> {
  const { device } = await log.identity.get();
  const [event] = await log.chains.events(device, seq, 1);
  if (event === undefined) return String(seq);
  const visit = visitOf(event.scope);
  const [kind, item = ""] = event.put.split("/");
  if (visit === null || kind !== "items") return event.put;
  return (await titleOf(await log.rows.cellsOf(visit), item)) ?? event.put;
}

async function titleOf(cells: Cells, item: string): Promise<string | null> {
  const hash = cells["about/bundle"]?.value;
  if (typeof hash !== "string") return null;
  const bundle = await fetchBundle(hash).catch(() => null);
  return bundle?.items.find(({ id }) => id === item)?.title ?? null;
}

/** The server counts within what was sent, which nobody has seen. */
function ofEntry(text: string): string {
  const said = text.replace(/^Event \d+ of the batch: /, "");
  return said.charAt(0).toUpperCase() + said.slice(1);
}

function Entry({ trouble, save }: { trouble: Trouble; save: ComponentChildren }) {
  const [name, setName] = useState("");
  const seq = trouble.seq ?? 0;
  useEffect(() => {
    void nameOfEntry(seq).then(setName, () => setName(String(seq)));
  }, [seq]);
  return (
    <div class="needs">
      <p class="wrong">{texts.entry(name)}</p>
      <p>{ofEntry(trouble.text)}</p>
      <p>{texts.entryKept}</p>
      <Again />
      {save}
      <Twice text={texts.entryLeave} sure={texts.entrySure} onSure={() => goOnWithout(seq)} />
    </div>
  );
}

function AppTooOld({ save }: { save: ComponentChildren }) {
  const [none, setNone] = useState(false);
  return (
    <div class="needs">
      <p class="wrong">{texts.appOld}</p>
      {none && <p role="status">{texts.appNone}</p>}
      <button
        type="button"
        class="button"
        onClick={() => void findUpdate().then((found) => setNone(!found))}
      >
        {texts.appUpdate}
      </button>
      {save}
    </div>
  );
}

/** Where a photo stands: its visit's name, its item, and the how-many-th it is there. */
interface Place {
  visit: string;
  car: string;
  area: string;
  item: string;
  title: string;
  number: number;
  put: string;
}

async function placeOf({ sha256, visit }: PhotoFacts): Promise<Place | null> {
  const cells = await log.rows.cellsOf(visit);
  const put = Object.keys(cells).find((path) => path.endsWith(`/photos/${sha256}`));
  const item = put?.split("/")[1];
  if (put === undefined || item === undefined) return null;
  const there = Object.entries(cells)
    .filter(([path, cell]) => path.startsWith(`items/${item}/photos/`) && cell.value !== null)
    .sort(([, a], [, b]) => (a.at < b.at ? -1 : 1))
    .map(([path]) => path);
  const hash = cells["about/bundle"]?.value;
  const bundle = typeof hash === "string" ? await fetchBundle(hash).catch(() => null) : null;
  const known = bundle?.items.find(({ id }) => id === item);
  const car = ["car/make", "car/model", "car/year"]
    .map((path) => cells[path]?.value ?? "")
    .filter((part) => part !== "")
    .join(" ");
  return {
    visit,
    car: car === "" ? words.cars.unnamed : car,
    area: known?.area ?? "",
    item,
    title: known?.title ?? item,
    number: there.indexOf(put) + 1,
    put,
  };
}

async function drop(photo: PhotoFacts, place: Place | null): Promise<void> {
  try {
    if (place !== null) {
      const scope = `inspection/${place.visit}`;
      await log.append([{ scope, put: place.put, value: null }]);
      if (openVisit.value?.id === place.visit) await openVisit.value.refold();
    }
    await photos.drop(photo.sha256);
  } catch {
    alarm.value = { text: words.alarm.write, again: () => void drop(photo, place) };
    return;
  }
  await countAnew();
  void sendNow();
}

function RefusedPhoto({ photo }: { photo: PhotoFacts }) {
  const [place, setPlace] = useState<Place | null>(null);
  useEffect(() => {
    void placeOf(photo).then(setPlace, () => setPlace(null));
  }, [photo]);
  const name = place === null ? texts.photoOf : texts.photo(place.number, place.title);
  return (
    <div class="needs">
      <div class="needs-what">
        <Picture sha256={photo.sha256} alt={name} />
        <div>
          <p class="wrong">{name}</p>
          {place !== null && <p>{texts.photoOfVisit(place.car)}</p>}
          <p>{photo.refused}</p>
        </div>
      </div>
      {place !== null && place.area !== "" && (
        <a
          class="button"
          href={address({ screen: "area", visit: place.visit, area: place.area, item: place.item })}
        >
          {texts.photoTake}
        </a>
      )}
      <Again />
      <Twice text={texts.photoDrop} sure={texts.photoSure} onSure={() => drop(photo, place)} />
    </div>
  );
}

function RefusedPhotos() {
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

function One({ trouble, save }: { trouble: Trouble; save: ComponentChildren }) {
  if (trouble.kind === "entry") return <Entry trouble={trouble} save={save} />;
  if (trouble.kind === "app_too_old") return <AppTooOld save={save} />;
  const said = { server_too_old: texts.serverOld, batch: texts.batch, phone: texts.phone };
  return (
    <div class="needs">
      <p class="wrong">{said[trouble.kind as keyof typeof said] ?? texts.server}</p>
      {trouble.kind !== "server_too_old" && <p>{trouble.text}</p>}
      {trouble.kind === "server" && <p>{texts.serverKept}</p>}
      <Again />
      {trouble.kind === "phone" && (
        <button type="button" class="button" onClick={() => location.reload()}>
          {texts.restart}
        </button>
      )}
      {trouble.kind !== "batch" && save}
    </div>
  );
}

/** Troubles that pass by themselves, and those that have a place of their own. */
const ELSEWHERE = ["unreachable", "pair", "photo"];

function shownOf(troubles: Trouble[]): Trouble[] {
  return troubles.filter(({ kind }) => !ELSEWHERE.includes(kind));
}

/** Whether the way to save everything to a file stands beside a trouble. */
export function offersSaving(troubles: Trouble[]): boolean {
  return shownOf(troubles).some(({ kind }) => kind !== "batch");
}

/** Every trouble but the ones that pass by themselves, and pairing, which has its own place. */
export function Troubles({ save }: { save: ComponentChildren }) {
  const { troubles, refusedPhotos } = syncState.value;
  const shown = shownOf(troubles);
  if (shown.length === 0 && refusedPhotos === 0) return null;
  return (
    <section class="troubles" aria-labelledby="troubles-title">
      <h2 id="troubles-title">{texts.title}</h2>
      {shown.map((trouble, index) => (
        <One
          key={`${trouble.kind} ${trouble.text}`}
          trouble={trouble}
          save={index === shown.findIndex(({ kind }) => kind !== "batch") ? save : null}
        />
      ))}
      <RefusedPhotos />
    </section>
  );
}

/** At a start: the browser had dropped this phone's storage before. Said until it was read. */
export function LostNote() {
  const [lost, setLost] = useState(false);
  const answered = syncState.value.answered;
  useEffect(() => {
    void answered;
    void facts.read("lost").then(
      (device) => setLost(device != null),
      () => undefined,
    );
  }, [answered]);
  if (!lost) return null;
  return (
    <div class="note" role="status">
      <p>
        <strong>{words.gone.returned}.</strong> {words.gone.returnedText}
      </p>
      <button
        type="button"
        onClick={() => {
          setLost(false);
          void facts.write("lost", null).catch(() => undefined);
        }}
      >
        {words.gone.read}
      </button>
    </div>
  );
}

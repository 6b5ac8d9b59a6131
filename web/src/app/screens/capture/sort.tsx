/** What was captured and belongs to no check yet: one tap puts it where it was taken. */

import { useState } from "preact/hooks";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { OpenPhoto } from "../../components/photos/open-photo";
import { PhotoPicture } from "../../components/photos/photo-picture";
import { text } from "../../text/catalogue";
import { type Captured, captured, sortingChanges, unsorted } from "../../visit/capture/captured";
import { carName } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { CheckSearch } from "./check-search";
import { titleOf } from "./near";
import { DeleteRecording, SoundEntry } from "./recording/player";

import "../../components/photos/item-photos.css";

interface EntryProps {
  visit: Visit;
  one: Captured;
}

function Shown({ visit, one, name }: EntryProps & { name: string }) {
  const [isOpen, setOpen] = useState(false);
  if (one.kind === "engine" || one.kind === "voice") return <SoundEntry one={one} name={name} />;
  if (one.kind === "note") return <p class="capture-text">{String(one.value.text ?? "")}</p>;
  return (
    <>
      <button type="button" class="photo" onClick={() => setOpen(true)}>
        <PhotoPicture sha256={one.sha256} alt={name} />
      </button>
      {isOpen && (
        <OpenPhoto visit={visit} put={one.put} name={name} onClose={() => setOpen(false)} />
      )}
    </>
  );
}

function Entry({ visit, one, number }: EntryProps & { number: number }) {
  const [isChoosing, setChoosing] = useState(false);
  const name = text(`capture-name-${one.kind}`, { number });
  const putWith = (item: string) => {
    // a check that the visit does not ask for is asked for from now on
    visit.pull(item);
    const answer = titleOf(visit, item) ?? item;
    void visit.put(
      sortingChanges(visit, one, item),
      text("phone-item-recorded", { title: name, answer }),
    );
  };
  const suggested = one.near.item === undefined ? null : titleOf(visit, one.near.item);
  return (
    <li class="capture-entry" data-captured={one.put} data-kind={one.kind}>
      <Shown visit={visit} one={one} name={name} />
      <div class="capture-where">
        {suggested !== null && (
          <button
            type="button"
            class="capture-suggested"
            onClick={() => putWith(one.near.item as string)}
          >
            {text("capture-put-with", { title: suggested })}
          </button>
        )}
        <button
          type="button"
          aria-expanded={isChoosing}
          aria-label={`${text("capture-choose")}: ${name}`}
          onClick={() => setChoosing(!isChoosing)}
        >
          {text("capture-choose")}
        </button>
        {one.kind === "engine" || one.kind === "voice" ? (
          <DeleteRecording visit={visit} sha256={one.sha256} />
        ) : (
          <button
            type="button"
            class="more"
            aria-label={`${text("capture-remove")}: ${name}`}
            onClick={() => void visit.put([{ put: one.put, value: null }], text("capture-removed"))}
          >
            {text("capture-remove")}
          </button>
        )}
      </div>
      {isChoosing && <CheckSearch visit={visit} near={one.near} onChoose={putWith} />}
    </li>
  );
}

/** Recordings that belong to a check: here they are heard again. */
function SortedSounds({ visit }: { visit: Visit }) {
  const sounds = captured(visit).filter(({ item }) => item !== null);
  if (sounds.length === 0) return null;
  return (
    <section aria-labelledby="sounds-title">
      <h2 id="sounds-title">{text("capture-sounds")}</h2>
      <ul class="capture-list">
        {sounds.map((one, index) => (
          <li key={one.put} class="capture-entry" data-sound={one.put}>
            <SoundEntry
              one={one}
              name={text("capture-sound-of", {
                name: text(`capture-name-${one.kind}`, { number: index + 1 }),
                title: titleOf(visit, one.item ?? "") ?? one.item ?? "",
              })}
            />
            <div class="capture-where">
              <DeleteRecording visit={visit} sha256={one.sha256} />
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

export function SortScreen({ visit }: { visit: Visit }) {
  const waiting = unsorted(visit);
  return (
    <ScreenFrame
      title={text("capture-sort-title")}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
    >
      <p>{waiting.length === 0 ? text("capture-sort-none") : text("capture-sort-why")}</p>
      <ul class="capture-list">
        {waiting.map((one, index) => (
          <Entry key={one.put} visit={visit} one={one} number={index + 1} />
        ))}
      </ul>
      <SortedSounds visit={visit} />
    </ScreenFrame>
  );
}

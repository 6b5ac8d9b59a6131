/** A recording, heard again; and deleted for good from this phone. */

import { useEffect, useState } from "preact/hooks";
import { ConfirmButton } from "../../../components/controls/confirm-button";
import { photoIntake, photos, sync } from "../../../state/this-page";
import { text } from "../../../text/catalogue";
import type { Captured } from "../../../visit/capture/captured";
import type { Visit } from "../../../visit/visit";

/** 28400 as `0:28`. */
export function lengthText(length_ms: number): string {
  const seconds = Math.round(length_ms / 1000);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

export function Player({ sha256, label }: { sha256: string; label: string }) {
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    let isThere = true;
    void photoIntake.address(sha256, "full").then((ready) => {
      if (isThere) setAddress(ready);
    });
    return () => {
      isThere = false;
    };
  }, [sha256]);
  if (address === null) return <span class="photo-wait" />;
  // biome-ignore lint/a11y/useMediaCaption: nobody has written down what is heard in it
  return <audio class="sound-player" controls src={address} aria-label={label} />;
}

/** What is heard in it, how long. */
export function SoundEntry({ one, name }: { one: Captured; name: string }) {
  return (
    <div class="sound">
      <p>
        <strong>{name}</strong> {lengthText(Number(one.value.length_ms ?? 0))}
      </p>
      <Player sha256={one.sha256} label={name} />
    </div>
  );
}

export function DeleteRecording({
  visit,
  sha256,
  onDone,
}: {
  visit: Visit;
  sha256: string;
  onDone?: () => void;
}) {
  const remove = async () => {
    const gone = [{ put: `media/${sha256}`, value: null }];
    if (!(await visit.put(gone, text("capture-deleted"), false))) return;
    await photos.drop(sha256);
    await sync.countAnew();
    onDone?.();
  };
  return (
    <ConfirmButton
      title={text("capture-delete")}
      sure={text("capture-delete-sure")}
      onSure={remove}
    />
  );
}

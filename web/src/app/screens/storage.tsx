/** The truth about storage: what is where, how old, how much room, and the last resort. */

import { useEffect, useState } from "preact/hooks";
import { exportUnsent } from "../../store/exchange/export";
import { me } from "../../store/exchange/server-api";
import type { Preferences } from "../../store/facts";
import { AuthorityHelp, AuthorityNotes } from "../components/authority-notice";
import { Choices } from "../components/choice-buttons";
import { ClockNote } from "../components/clock-notice";
import { Frame } from "../components/screen-frame";
import { offersSaving, Troubles } from "../components/sync-troubles";
import { offlineNames } from "../device/judge-client";
import { ago, readable } from "../device/local-time";
import { alarm, preferences, setPreferences, syncState } from "../state/app-state";
import { address } from "../state/router";
import { log, photos } from "../state/storage";
import { sendNow } from "../state/sync-schedule";
import { words } from "../text/en";
import { Pairing } from "./pair";

const texts = words.storage;

function megabytes(bytes: number): string {
  return `${Math.round(bytes / 1_000_000).toLocaleString()} MB`;
}

function Lasting() {
  const [lasting, setLasting] = useState<boolean | null>(null);
  const [room, setRoom] = useState<number | null>(null);
  useEffect(() => {
    void navigator.storage?.persisted?.().then(setLasting);
    void navigator.storage?.estimate?.().then(({ quota, usage }) => {
      if (quota !== undefined) setRoom(quota - (usage ?? 0));
    });
  }, []);
  return (
    <section>
      <h2>{texts.lasting}</h2>
      <p>
        {lasting === null ? texts.lastingUnknown : lasting ? texts.lastingYes : texts.lastingNo}
      </p>
      {lasting === false && (
        <button
          type="button"
          class="button"
          onClick={() => void navigator.storage.persist().then(setLasting)}
        >
          {texts.ask}
        </button>
      )}
      {room !== null && (
        <p>
          {texts.space}: {megabytes(room)}
        </p>
      )}
    </section>
  );
}

async function saveToFile(): Promise<boolean> {
  try {
    const file = await exportUnsent(log, photos);
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = file.name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    return true;
  } catch {
    alarm.value = { text: words.alarm.write, again: () => void saveToFile() };
    return false;
  }
}

export function Storage() {
  const state = syncState.value;
  const [name, setName] = useState<string | null>(null);
  const [saved, setSaved] = useState(false);
  const [version, setVersion] = useState("");
  useEffect(() => {
    void offlineNames().then(
      ({ app }) => setVersion(app),
      () => undefined,
    );
    void me().then(
      (found) => setName(found.name),
      // not paired or not reachable: the line above says which
      () => setName(null),
    );
  }, []);
  const unsent = state.unsentEvents + state.unsentPhotos;
  const isUnpaired = state.troubles.some(({ kind }) => kind === "pair");
  const passing = state.troubles.find(({ kind }) => kind === "unreachable" || kind === "pair");
  const save = unsent > 0 && (
    <button type="button" class="button" onClick={() => void saveToFile().then(setSaved)}>
      {texts.save}
    </button>
  );
  return (
    <Frame
      title={texts.title}
      back={{ screen: "cars" }}
      foot={
        <button type="button" class="main" onClick={() => void sendNow()}>
          {texts.now}
        </button>
      }
    >
      <Troubles save={save} />
      <ClockNote />
      <AuthorityNotes />
      <section>
        <h2>{texts.unsent}</h2>
        {unsent === 0 && state.answered > 0 ? (
          <p>{texts.nothing}</p>
        ) : (
          <p>
            {texts.entries(state.unsentEvents)}, {texts.photos(state.unsentPhotos)}
            {state.unsentBytes > 0 && ` (${megabytes(state.unsentBytes)})`}
          </p>
        )}
        {state.oldest !== null && (
          <p>
            {texts.oldest}: {ago(state.oldest)}
          </p>
        )}
        <p>
          {texts.last}: {state.answered === 0 ? texts.never : readable(state.answered)}
        </p>
        {passing !== undefined && <p class="wrong">{passing.text}</p>}
        <AuthorityHelp />
        {name !== null && <p>{texts.paired(name)}</p>}
        {isUnpaired ? (
          <Pairing />
        ) : (
          name === null && (
            <a class="button" href={address({ screen: "pair" })}>
              {texts.pair}
            </a>
          )
        )}
        {!offersSaving(state.troubles) && save}
        {saved && <p role="status">{texts.saved}</p>}
      </section>
      <Lasting />
      <section>
        <h2>{texts.look}</h2>
        <p class="fact-label">{texts.theme}</p>
        <Choices
          label={texts.theme}
          options={Object.entries(texts.themes).map(([id, title]) => ({ id, title }))}
          chosen={preferences.value.theme}
          onChoose={(id) => void setPreferences({ theme: id as Preferences["theme"] })}
        />
        <p class="fact-label">{texts.hand}</p>
        <Choices
          label={texts.hand}
          options={Object.entries(texts.hands).map(([id, title]) => ({ id, title }))}
          chosen={preferences.value.hand}
          onChoose={(id) => void setPreferences({ hand: id as Preferences["hand"] })}
        />
      </section>
      <section>
        <h2>{words.photo.title}</h2>
        <p class="fact-label">{texts.photoPlace}</p>
        <Choices
          label={texts.photoPlace}
          options={Object.entries(texts.photoPlaces).map(([id, title]) => ({ id, title }))}
          chosen={preferences.value.photoPlace ? "note" : "drop"}
          onChoose={(id) => void setPreferences({ photoPlace: id === "note" })}
        />
        <p class="hint">{texts.photoPlaceHint}</p>
        <p class="hint">
          {version !== "" && `${texts.version(version)}. `}
          <a href="/about">{texts.about}</a>
        </p>
      </section>
    </Frame>
  );
}

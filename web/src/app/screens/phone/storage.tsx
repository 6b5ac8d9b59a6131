/** The truth about storage: what is where, how old, how much room, and the last resort. */

import { useEffect, useState } from "preact/hooks";
import type { Region } from "../../../shared/contract";
import { message } from "../../../shared/said";
import { exportUnsent } from "../../../store/exchange/export";
import { me } from "../../../store/exchange/server-api";
import type { SyncState } from "../../../store/exchange/sync";
import type { Preferences } from "../../../store/facts";
import { ChoiceButtons, type Option } from "../../components/controls/choice-buttons";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { AuthorityHelp, AuthorityNotices } from "../../components/notices/authority-notice";
import { ClockNotice } from "../../components/notices/clock-notice";
import { offersSaving, SyncIssues } from "../../components/sync-issues/sync-issues";
import { offlineNames } from "../../device/judge";
import { address } from "../../state/routes";
import {
  alarm,
  isAlone,
  log,
  page,
  photos,
  preferences,
  sync,
  syncState,
} from "../../state/this-page";
import { catalogue, say, text } from "../../text/catalogue";
import { ago, readable, size } from "../../text/formats";
import { REGIONS, region } from "../../text/region";
import { Pairing } from "./pair";

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
      <h2>{text("phone-storage-lasting")}</h2>
      <p>
        {lasting === null
          ? text("phone-storage-lasting-unknown")
          : lasting
            ? text("phone-storage-lasting-yes")
            : text("phone-storage-lasting-no")}
      </p>
      {lasting === false && (
        <button
          type="button"
          class="button"
          onClick={() => void navigator.storage.persist().then(setLasting)}
        >
          {text("phone-storage-ask")}
        </button>
      )}
      {room !== null && <p>{text("phone-storage-space", { size: size(room) })}</p>}
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
    alarm.value = { said: message("phone-alarm-write"), again: () => void saveToFile() };
    return false;
  }
}

function Choice({
  label,
  options,
  chosen,
  onChoose,
  onStored,
}: {
  label: string;
  options: Option[];
  chosen: string;
  onChoose: (id: string) => Promise<void>;
  onStored?: () => void;
}) {
  return (
    <>
      <p class="fact-label">{label}</p>
      <ChoiceButtons
        label={label}
        options={options}
        chosen={chosen}
        onChoose={(id) => void onChoose(id).then(onStored)}
      />
    </>
  );
}

/** The answers of a choice, with what they are called. */
function titled(of: string, ids: string[]): Option[] {
  return ids.map((id) => ({ id, title: catalogue.find(`phone-storage-${of}-${id}`) }));
}

/** In which language the app speaks, where there are several; each by its own name. */
function Language() {
  const known = catalogue.locales();
  if (known.length < 2) return null;
  const named = known.map((id) => ({
    id,
    title: new Intl.DisplayNames(id, { type: "language" }).of(id) ?? id,
  }));
  return (
    <Choice
      label={text("phone-storage-language")}
      options={[{ id: "", title: text("phone-storage-language-auto") }, ...named]}
      chosen={preferences.value.locale}
      onChoose={(locale) => page.state.setPreferences({ locale })}
      onStored={() => location.reload()}
    />
  );
}

/** How the app looks, and what it does with a photo's place. */
function PreferencesSections() {
  const [version, setVersion] = useState("");
  useEffect(() => {
    void offlineNames().then(
      ({ app }) => setVersion(app),
      () => undefined,
    );
  }, []);
  const { theme, hand, photoPlace } = preferences.value;
  return (
    <>
      <section>
        <h2>{text("phone-storage-look")}</h2>
        <Choice
          label={text("phone-where-title")}
          options={REGIONS.map((id) => ({ id, title: text(`phone-where-${id}`) }))}
          chosen={region.value}
          onChoose={(id) => page.state.setRegion(id as Region)}
        />
        <p class="hint">{text("phone-where-later")}</p>
        <Language />
        <Choice
          label={text("phone-storage-theme")}
          options={titled("theme", ["auto", "light", "dark", "outdoor"])}
          chosen={theme}
          onChoose={(id) => page.state.setPreferences({ theme: id as Preferences["theme"] })}
        />
        <Choice
          label={text("phone-storage-hand")}
          options={titled("hand", ["right", "left"])}
          chosen={hand}
          onChoose={(id) => page.state.setPreferences({ hand: id as Preferences["hand"] })}
        />
      </section>
      <section>
        <h2>{text("phone-photo-title")}</h2>
        <Choice
          label={text("phone-storage-photo-place")}
          options={titled("photo-place", ["drop", "note"])}
          chosen={photoPlace ? "note" : "drop"}
          onChoose={(id) => page.state.setPreferences({ photoPlace: id === "note" })}
        />
        <p class="hint">{text("phone-storage-photo-place-hint")}</p>
        <p class="hint">
          {version !== "" && `${text("phone-storage-version", { version })} `}
          <a href={isAlone ? "/app/about.txt" : "/about"}>{text("phone-storage-about")}</a>
        </p>
      </section>
    </>
  );
}

function amountOf({ unsentEvents: entries, unsentPhotos: photos, unsentBytes }: SyncState): string {
  if (unsentBytes === 0) return text("phone-storage-amount", { entries, photos });
  return text("phone-storage-amount-size", { entries, photos, size: size(unsentBytes) });
}

/** How much is unsent, how old it is, and when the server last answered. */
function UnsentFigures({ state }: { state: SyncState }) {
  const isNothing = state.unsentEvents + state.unsentPhotos === 0 && state.answered > 0;
  return (
    <>
      <p>{isNothing ? text("phone-storage-nothing") : amountOf(state)}</p>
      {state.oldest !== null && <p>{text("phone-storage-oldest", { age: ago(state.oldest) })}</p>}
      <p>
        {state.answered === 0
          ? text("phone-storage-last-never")
          : text("phone-storage-last", { when: readable(state.answered) })}
      </p>
    </>
  );
}

/** As whom the server knows this phone; the way to be known where it answers that it does not. */
function PairedAs({ state }: { state: SyncState }) {
  const [name, setName] = useState<string | null>(null);
  useEffect(() => {
    void me().then(
      (device) => setName(device.name),
      // not paired or not reachable: the line above says which
      () => setName(null),
    );
  }, []);
  if (state.issues.some(({ kind }) => kind === "pair")) {
    return (
      <>
        {name !== null && <p>{text("phone-storage-paired", { name })}</p>}
        <Pairing />
      </>
    );
  }
  return name === null ? null : <p>{text("phone-storage-paired", { name })}</p>;
}

/** The way to the screen that makes a file of it. */
function ToHandOver({ isMain }: { isMain: boolean }) {
  return (
    <a class={isMain ? "button main" : "button"} href={address({ screen: "handover" })}>
      {text("phone-storage-hand-over")}
    </a>
  );
}

/** With a server: what it lacks, when it last answered, and as whom it knows this phone. */
function Unsent({ isSavedElsewhere }: { isSavedElsewhere: boolean }) {
  const state = syncState.value;
  const passing = state.issues.find(({ kind }) => kind === "unreachable" || kind === "pair");
  return (
    <section>
      <h2>{text("phone-storage-unsent")}</h2>
      <UnsentFigures state={state} />
      {passing !== undefined && <p class="wrong">{say(passing.said)}</p>}
      <AuthorityHelp />
      <PairedAs state={state} />
      {!isSavedElsewhere && state.unsentEvents + state.unsentPhotos > 0 && (
        <ToHandOver isMain={false} />
      )}
    </section>
  );
}

export function Storage() {
  const state = syncState.value;
  const [isSaved, setSaved] = useState(false);
  const save = state.unsentEvents + state.unsentPhotos > 0 && (
    <button type="button" class="button" onClick={() => void saveToFile().then(setSaved)}>
      {text("phone-storage-save")}
    </button>
  );
  return (
    <ScreenFrame
      title={text(isAlone ? "phone-sync-phone" : "phone-storage-title")}
      back={{ screen: "cars" }}
      foot={
        isAlone ? (
          <ToHandOver isMain />
        ) : (
          <button type="button" class="main" onClick={() => void sync.now()}>
            {text("phone-storage-now")}
          </button>
        )
      }
    >
      <SyncIssues save={save} />
      {isSaved && <p role="status">{text("phone-storage-saved")}</p>}
      <ClockNotice />
      <AuthorityNotices />
      {isAlone ? (
        <p>{amountOf(state)}</p>
      ) : (
        <Unsent isSavedElsewhere={offersSaving(state.issues)} />
      )}
      <Lasting />
      <PreferencesSections />
      <a class="button" href={address({ screen: "guide" })}>
        {text("phone-guide-offer")}
      </a>
    </ScreenFrame>
  );
}

/** The truth about storage: what is where, how old, how much room, and the last resort. */

import { useEffect, useState } from "preact/hooks";
import { exportUnsent } from "../../../store/exchange/export";
import { me } from "../../../store/exchange/server-api";
import type { SyncState } from "../../../store/exchange/sync";
import type { Preferences } from "../../../store/facts";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { AuthorityHelp, AuthorityNotices } from "../../components/notices/authority-notice";
import { ClockNotice } from "../../components/notices/clock-notice";
import { offersSaving, SyncIssues } from "../../components/sync-issues/sync-issues";
import { offlineNames } from "../../device/judge";
import { ago, readable } from "../../device/local-time";
import { address } from "../../state/routes";
import { alarm, log, page, photos, preferences, sync, syncState } from "../../state/this-page";
import { words } from "../../text/en";
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

function Choice({
  label,
  titles,
  chosen,
  onChoose,
}: {
  label: string;
  titles: Record<string, string>;
  chosen: string;
  onChoose: (id: string) => Partial<Preferences>;
}) {
  return (
    <>
      <p class="fact-label">{label}</p>
      <ChoiceButtons
        label={label}
        options={Object.entries(titles).map(([id, title]) => ({ id, title }))}
        chosen={chosen}
        onChoose={(id) => void page.state.setPreferences(onChoose(id))}
      />
    </>
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
        <h2>{texts.look}</h2>
        <Choice
          label={texts.theme}
          titles={texts.themes}
          chosen={theme}
          onChoose={(id) => ({ theme: id as Preferences["theme"] })}
        />
        <Choice
          label={texts.hand}
          titles={texts.hands}
          chosen={hand}
          onChoose={(id) => ({ hand: id as Preferences["hand"] })}
        />
      </section>
      <section>
        <h2>{words.photo.title}</h2>
        <Choice
          label={texts.photoPlace}
          titles={texts.photoPlaces}
          chosen={photoPlace ? "note" : "drop"}
          onChoose={(id) => ({ photoPlace: id === "note" })}
        />
        <p class="hint">{texts.photoPlaceHint}</p>
        <p class="hint">
          {version !== "" && `${texts.version(version)}. `}
          <a href="/about">{texts.about}</a>
        </p>
      </section>
    </>
  );
}

/** How much is unsent, how old it is, and when the server last answered. */
function UnsentFigures({ state }: { state: SyncState }) {
  const isNothing = state.unsentEvents + state.unsentPhotos === 0 && state.answered > 0;
  return (
    <>
      {isNothing ? (
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
    </>
  );
}

/** As whom the server knows this phone, or the way to be known. */
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
        {name !== null && <p>{texts.paired(name)}</p>}
        <Pairing />
      </>
    );
  }
  if (name !== null) return <p>{texts.paired(name)}</p>;
  return (
    <a class="button" href={address({ screen: "pair" })}>
      {texts.pair}
    </a>
  );
}

export function Storage() {
  const state = syncState.value;
  const [isSaved, setSaved] = useState(false);
  const passing = state.issues.find(({ kind }) => kind === "unreachable" || kind === "pair");
  const save = state.unsentEvents + state.unsentPhotos > 0 && (
    <button type="button" class="button" onClick={() => void saveToFile().then(setSaved)}>
      {texts.save}
    </button>
  );
  return (
    <ScreenFrame
      title={texts.title}
      back={{ screen: "cars" }}
      foot={
        <button type="button" class="main" onClick={() => void sync.now()}>
          {texts.now}
        </button>
      }
    >
      <SyncIssues save={save} />
      <ClockNotice />
      <AuthorityNotices />
      <section>
        <h2>{texts.unsent}</h2>
        <UnsentFigures state={state} />
        {passing !== undefined && <p class="wrong">{passing.text}</p>}
        <AuthorityHelp />
        <PairedAs state={state} />
        {!offersSaving(state.issues) && save}
        {isSaved && <p role="status">{texts.saved}</p>}
      </section>
      <Lasting />
      <PreferencesSections />
    </ScreenFrame>
  );
}

/** Handing the record over as a file: made here, carried to the desk by the person, taken in there. */

import { useEffect, useMemo, useState } from "preact/hooks";
import { saidOf } from "../../../../shared/said";
import type { HandedOver } from "../../../../store/facts";
import { ChoiceButtons } from "../../../components/controls/choice-buttons";
import { ScreenFrame } from "../../../components/frame/screen-frame";
import { facts, isAlone, log, notice, photos, sync, syncState } from "../../../state/this-page";
import { say, text } from "../../../text/catalogue";
import { readable, size } from "../../../text/formats";
import { type Packed, pack } from "./pack";

/** What was handed over before; undefined while that is read. */
function useHanded(): [HandedOver | null | undefined, (now: HandedOver) => Promise<void>] {
  const [handed, setHanded] = useState<HandedOver | null>();
  useEffect(() => {
    void log.identity.get().then(async ({ device }) => {
      const kept = await facts.read("handed");
      // of the number that this phone had before it began anew
      setHanded(kept?.device === device ? kept : null);
    });
  }, []);
  const keep = async (now: HandedOver) => {
    await facts.write("handed", now);
    setHanded(now);
  };
  return [handed, keep];
}

/** Through the share sheet where it takes such a file, else as a download. */
function Carry({ packed }: { packed: Packed }) {
  const { file } = packed;
  const address = useMemo(() => URL.createObjectURL(file), [file]);
  useEffect(() => () => URL.revokeObjectURL(address), [address]);
  const canShare = navigator.canShare?.({ files: [file] }) === true;
  const share = () =>
    // who puts the sheet away has changed their mind; the file can be saved all the same
    navigator.share({ files: [file] }).catch(() => undefined);
  return (
    <>
      {canShare && (
        <button type="button" class="button" onClick={() => void share()}>
          {text("hand-over-share")}
        </button>
      )}
      <a class="button" href={address} download={file.name}>
        {text("hand-over-save")}
      </a>
    </>
  );
}

function Made({ packed, onHas }: { packed: Packed; onHas: () => void }) {
  const { file, entries, photos: inIt, left } = packed;
  return (
    <section aria-labelledby="hand-over-made">
      <h2 id="hand-over-made">{text("hand-over-made")}</h2>
      <p>
        <b>{file.name}</b>
        <br />
        {text("phone-storage-amount-size", {
          ...{ entries, photos: inIt.length, size: size(file.size) },
        })}
      </p>
      {left > 0 && <p>{text("hand-over-left", { count: left })}</p>}
      <Carry packed={packed} />
      <ol>
        <li>{text("hand-over-step-carry")}</li>
        <li>{text("hand-over-step-desk")}</li>
        <li>{text("hand-over-step-has")}</li>
      </ol>
      <button type="button" class="button" onClick={onHas}>
        {text("hand-over-has")}
      </button>
    </section>
  );
}

/** What this phone holds that no server has, and what of it a desk was handed. */
function Standing({ handed }: { handed: HandedOver | null }) {
  const { unsentEvents: entries, unsentPhotos, unsentBytes } = syncState.value;
  const [number, setNumber] = useState("");
  useEffect(() => {
    void sync.countAnew();
    void log.identity.get().then(({ device }) => setNumber(device.slice(0, 8)));
  }, []);
  return (
    <>
      <p>{text("hand-over-why")}</p>
      <p>
        {text("phone-storage-amount-size", {
          ...{ entries, photos: unsentPhotos, size: size(unsentBytes) },
        })}
      </p>
      {handed !== null && (
        <p>
          {text("hand-over-last", {
            when: readable(handed.at),
            count: Math.max(0, unsentPhotos - handed.photos.length),
          })}
        </p>
      )}
      <p class="hint">{text("hand-over-number", { number })}</p>
    </>
  );
}

function Later() {
  return (
    <details>
      <summary>{text("hand-over-later")}</summary>
      <p>{text("hand-over-later-how")}</p>
      <p>{text("hand-over-later-else")}</p>
    </details>
  );
}

export function HandOver() {
  const [handed, keepHanded] = useHanded();
  const [isAll, setAll] = useState(false);
  const [packed, setPacked] = useState<Packed | null>(null);
  const [working, setWorking] = useState("");
  const [problem, setProblem] = useState("");
  const make = async () => {
    setProblem("");
    setPacked(null);
    setWorking(text("hand-over-working"));
    try {
      const without = new Set(isAll ? [] : (handed?.photos ?? []));
      const told = (number: number, total: number) =>
        setWorking(text("hand-over-photo", { number, total }));
      setPacked(await pack(log, photos, without, told));
    } catch (failure) {
      setProblem(say(saidOf(failure)));
    }
    setWorking("");
  };
  const has = async () => {
    if (packed === null) return;
    const { device } = await log.identity.get();
    const before = handed?.photos ?? [];
    const names = [...new Set([...before, ...packed.photos])];
    await keepHanded({ device, seq: packed.seq, photos: names, at: Date.now() });
    setPacked(null);
    notice.value = { text: text("hand-over-noted"), undo: null };
  };
  return (
    <ScreenFrame
      title={text("hand-over-title")}
      back={{ screen: "storage" }}
      foot={
        <button
          type="button"
          class="main"
          disabled={working !== "" || handed === undefined}
          onClick={() => void make()}
        >
          {text(packed === null ? "hand-over-make" : "hand-over-again")}
        </button>
      }
    >
      {handed !== undefined && <Standing handed={handed} />}
      {handed && (
        <ChoiceButtons
          label={text("hand-over-which")}
          options={[
            { id: "new", title: text("hand-over-which-new") },
            { id: "all", title: text("hand-over-which-all") },
          ]}
          chosen={isAll ? "all" : "new"}
          onChoose={(id) => setAll(id === "all")}
        />
      )}
      <p role="status">{working}</p>
      {problem !== "" && (
        <p class="wrong" role="alert">
          {problem}
        </p>
      )}
      {packed !== null && <Made packed={packed} onHas={() => void has()} />}
      {isAlone && <Later />}
    </ScreenFrame>
  );
}

/**
 * A partner is told: one paragraph and up to four photos by the phone's own share sheet, or to copy
 * and save where there is none. What stands on the screen is what goes out, to the letter and byte.
 */

import { useEffect, useState } from "preact/hooks";
import type { Assessment } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { PhotoPicture } from "../../components/photos/photo-picture";
import { photos } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { carName } from "../../visit/items/item-record";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";
import { MOST_PHOTOS, paragraph, photosToTell } from "./message";
import { pictureOf } from "./pictures";

import "../../components/photos/item-photos.css";
import "./tell.css";

interface Picture {
  sha256: string;
  /** Null for one that this phone has not, or cannot draw. */
  file: File | null;
  address: string;
}

/** The chosen photos as they go out, made before the tap: a share sheet waits for nothing. */
function usePictures(chosen: string[]): Picture[] | null {
  const [made, setMade] = useState<Picture[] | null>(null);
  const names = chosen.join();
  useEffect(() => {
    let isThere = true;
    const addresses: string[] = [];
    setMade(null);
    void Promise.all(
      chosen.map(async (sha256, n) => {
        const blob = await pictureOf(photos, sha256);
        if (blob === null) return { sha256, file: null, address: "" };
        const file = new File([blob], `photo-${n + 1}.jpg`, { type: "image/jpeg" });
        const address = URL.createObjectURL(file);
        addresses.push(address);
        return { sha256, file, address };
      }),
    ).then((pictures) => {
      if (isThere) setMade(pictures);
    });
    return () => {
      isThere = false;
      for (const address of addresses) URL.revokeObjectURL(address);
    };
  }, [names]);
  return made;
}

/** What the share sheet is given; null where this phone has none that takes it. */
function shareOf(said: string, files: File[]): ShareData | null {
  if (navigator.share === undefined) return null;
  const whole: ShareData = files.length > 0 ? { text: said, files } : { text: said };
  return files.length === 0 || navigator.canShare?.(whole) === true ? whole : null;
}

/** The text and each photo by itself, where no share sheet takes them together. */
function ByHand({ said, pictures }: { said: string; pictures: Picture[] }) {
  const [isCopied, setCopied] = useState<boolean | null>(null);
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(said);
      setCopied(true);
    } catch {
      setCopied(false);
    }
  };
  return (
    <section aria-label={text("tell-by-hand")}>
      <button type="button" onClick={() => void copy()}>
        {text("tell-copy")}
      </button>
      <p role="status">
        {isCopied === true && text("tell-copied")}
        {isCopied === false && text("tell-not-copied")}
      </p>
      {pictures.map(
        ({ file, address }, n) =>
          file !== null && (
            <a key={address} class="button" href={address} download={file.name}>
              {text("tell-save", { number: n + 1 })}
            </a>
          ),
      )}
    </section>
  );
}

function Photos({
  all,
  chosen,
  pictures,
  onChange,
}: {
  all: string[];
  chosen: string[];
  pictures: Picture[] | null;
  onChange: (chosen: string[]) => void;
}) {
  const others = all.filter((sha256) => !chosen.includes(sha256));
  return (
    <>
      {pictures === null && <p role="status">{text("tell-working")}</p>}
      <ul class="photo-list tell-photos">
        {(pictures ?? []).map(({ sha256, file, address }, n) => (
          <li key={sha256}>
            {file === null ? (
              <span class="no-preview">{text("tell-no-picture")}</span>
            ) : (
              <img src={address} alt={text("tell-photo", { number: n + 1 })} />
            )}
            <button type="button" onClick={() => onChange(chosen.filter((one) => one !== sha256))}>
              {text("tell-leave", { number: n + 1 })}
            </button>
          </li>
        ))}
      </ul>
      {others.length > 0 && chosen.length < MOST_PHOTOS && (
        <details>
          <summary>{text("tell-others", { count: others.length })}</summary>
          <ul class="photo-list tell-photos">
            {others.map((sha256, n) => (
              <li key={sha256}>
                <PhotoPicture sha256={sha256} alt={text("tell-other", { number: n + 1 })} />
                <button type="button" onClick={() => onChange([...chosen, sha256])}>
                  {text("tell-take", { number: n + 1 })}
                </button>
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function Message({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const [withMoney, setMoney] = useState(false);
  const all = photosToTell(visit, assessment, withMoney);
  const [picked, setPicked] = useState<string[] | null>(null);
  const [problem, setProblem] = useState(false);
  const chosen = (picked ?? all).filter((sha256) => all.includes(sha256)).slice(0, MOST_PHOTOS);
  const pictures = usePictures(chosen);
  const said = paragraph(visit, assessment, withMoney);
  const files = (pictures ?? []).flatMap(({ file }) => (file === null ? [] : [file]));
  const share = pictures === null ? null : shareOf(said, files);
  const send = async () => {
    if (share === null) return;
    setProblem(false);
    try {
      await navigator.share(share);
    } catch (failure) {
      // who puts the sheet away has changed their mind, and nothing went wrong
      if (!(failure instanceof DOMException && failure.name === "AbortError")) setProblem(true);
    }
  };
  const isByHand = pictures !== null && (share === null || problem);
  return (
    <ScreenFrame
      title={text("tell-title")}
      back={{ screen: "kerb", visit: visit.id }}
      above={carName(visit)}
      foot={
        isByHand ? undefined : (
          <button type="button" class="main" disabled={share === null} onClick={() => void send()}>
            {text("tell-send")}
          </button>
        )
      }
    >
      <ChoiceButtons
        label={text("tell-money")}
        options={[
          { id: "without", title: text("tell-without") },
          { id: "with", title: text("tell-with") },
        ]}
        chosen={withMoney ? "with" : "without"}
        onChoose={(id) => setMoney(id === "with")}
      />
      {problem && (
        <p class="wrong" role="alert">
          {text("tell-failed")}
        </p>
      )}
      {isByHand && <ByHand said={said} pictures={pictures} />}
      <section aria-label={text("tell-goes-out")}>
        <h2>{text("tell-goes-out")}</h2>
        <blockquote class="tell-text">{said}</blockquote>
        <Photos all={all} chosen={chosen} pictures={pictures} onChange={setPicked} />
        <p class="hint">{text("tell-photos-hint")}</p>
      </section>
    </ScreenFrame>
  );
}

export function Tell({ visit }: { visit: Visit }) {
  const assessment = useAssessment(visit);
  if (assessment !== null) return <Message visit={visit} assessment={assessment} />;
  return (
    <ScreenFrame title={text("tell-title")} back={{ screen: "kerb", visit: visit.id }}>
      <p role="status">{text("phone-decide-working")}</p>
    </ScreenFrame>
  );
}

/** Ads that another app shared into this one: each waits here until a person puts it with a car. */

import { useEffect, useState } from "preact/hooks";
import type { SharedAd } from "../../../store/facts";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { today } from "../../device/local-time";
import { facts, page, photoServices, router } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { region } from "../../text/region";
import { amounts } from "../../text/typed";
import { recordPhoto } from "../../visit/capture/record-photo";
import { keepAd, priceIn } from "../../visit/offer/claims";
import { readLines, type VisitLine } from "../../visit/visit-lines";
import { beginVisit, loadVisit } from "../../visit/visits";

import "../../../style/rows.css";
import "./ad.css";

/** Keep the ad with a car; what waits is forgotten only when all of it is on the disk. */
async function putWith(shared: SharedAd, visitId: string): Promise<boolean> {
  const visit = await loadVisit(page, visitId);
  const [typed] = amounts(priceIn(shared.text), region.value);
  const amount = typed === undefined ? null : Math.round(Number(typed));
  const ad = { text: shared.text, source: shared.source, date: today() };
  const { id, changes } = keepAd(ad, amount);
  if (!(await visit.put(changes, null, false))) return false;
  for (const { type, bytes } of shared.files) {
    const failure = await recordPhoto(
      photoServices,
      visit,
      `ads/${id}/photos`,
      new Blob([bytes], { type }),
    );
    if (failure !== null) return false;
  }
  return true;
}

export function SharedAds() {
  const [waiting, setWaiting] = useState<SharedAd[] | null>(null);
  const [lines, setLines] = useState<VisitLine[]>([]);
  const [isBusy, setBusy] = useState(false);
  useEffect(() => {
    void facts.read("shared").then((kept) => setWaiting(kept ?? []));
    void readLines(page, setLines);
  }, []);
  const [first, ...rest] = waiting ?? [];
  const done = async () => {
    await facts.write("shared", rest);
    setWaiting(rest);
  };
  const put = async (visit: string | null) => {
    if (first === undefined) return;
    setBusy(true);
    try {
      const to = visit ?? (await beginVisit(page));
      if (await putWith(first, to)) {
        await done();
        router.go({ screen: "ad", visit: to });
      }
    } finally {
      setBusy(false);
    }
  };
  const listed = lines.filter(({ shelf }) => shelf === "" || shelf === "empty");
  return (
    <ScreenFrame title={text("claims-shared")} back={{ screen: "cars" }}>
      {waiting !== null && first === undefined && <p>{text("claims-shared-none")}</p>}
      {first !== undefined && (
        <>
          <p class="hint">{text("claims-shared-hint")}</p>
          <p class="ad-text card">{[first.text, first.source].filter(Boolean).join("\n\n")}</p>
          {first.files.length > 0 && (
            <p>{text("claims-shared-photos", { count: first.files.length })}</p>
          )}
          <button type="button" class="main" disabled={isBusy} onClick={() => void put(null)}>
            {text("claims-shared-new")}
          </button>
          {listed.length > 0 && (
            <section aria-label={text("claims-shared-with")}>
              <h2>{text("claims-shared-with")}</h2>
              <ul class="shared-cars">
                {listed.map(({ visit, name }) => (
                  <li key={visit}>
                    <button type="button" disabled={isBusy} onClick={() => void put(visit)}>
                      {name}
                    </button>
                  </li>
                ))}
              </ul>
            </section>
          )}
          <button type="button" onClick={() => void done()}>
            {text("claims-shared-drop")}
          </button>
        </>
      )}
    </ScreenFrame>
  );
}

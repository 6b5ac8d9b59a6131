/** The ad as it was, what was asked and when, and each thing that is claimed. */

import { ScreenFrame } from "../../components/frame/screen-frame";
import { text } from "../../text/catalogue";
import { money, readableDay } from "../../text/formats";
import { carName } from "../../visit/items/item-record";
import { type Ad, adsOf, judgedClaims, noteClaim } from "../../visit/offer/claims";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";
import { AdForm, PriceForm } from "./ad-form";
import { ClaimRow } from "./claim-row";
import { NewClaim } from "./new-claim";
import { Photos } from "./photos";
import { claimsIn } from "./settle";
import { kindTitle, useSpotted } from "./use-spotted";

import "../../components/photos/item-photos.css";
import "./ad.css";

/** What was asked, the latest last, and by how much it moved. */
function Prices({ visit, ad }: { visit: Visit; ad: Ad }) {
  const shown = (amount: number) => money(amount, visit.text("about/currency"));
  return (
    <>
      {ad.prices.length > 0 && (
        <ol class="ad-prices" aria-label={text("claims-prices")}>
          {ad.prices.map(({ id, amount, date }, index) => {
            const change = amount - (ad.prices[index - 1]?.amount ?? amount);
            const moved = { change: shown(Math.abs(change)) };
            return (
              <li key={id}>
                <strong>{shown(amount)}</strong> {readableDay(date)}
                {change < 0 && ` · ${text("claims-price-less", moved)}`}
                {change > 0 && ` · ${text("claims-price-more", moved)}`}
              </li>
            );
          })}
        </ol>
      )}
      <PriceForm visit={visit} ad={ad.id} />
    </>
  );
}

/** What the words of an ad seem to say and nobody has noted: a tap notes it. */
function Spotted({ visit, ad }: { visit: Visit; ad: Ad }) {
  const noted = new Set(claimsIn(visit).map(({ kind }) => kind));
  const found = useSpotted(visit, ad.text).filter(({ kind }) => !noted.has(kind));
  if (found.length === 0) return null;
  return (
    <section class="ad-spotted" aria-label={text("claims-spotted")}>
      <h3>{text("claims-spotted")}</h3>
      <ul>
        {found.map(({ kind, words }) => {
          const claim = kindTitle(visit, kind);
          return (
            <li key={kind}>
              <button
                type="button"
                data-spotted={kind}
                onClick={() =>
                  void visit.put(
                    noteClaim({ kind, words, who: "ad" }, ad.date),
                    text("claims-noted", { claim }),
                  )
                }
              >
                {text("claims-confirm", { claim })}
              </button>
              <span class="claim-words">“…{words}…”</span>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function AdCard({ visit, ad }: { visit: Visit; ad: Ad }) {
  return (
    <article class="card ad" data-ad={ad.id}>
      <p class="hint">
        {[text("claims-ad-seen", { date: readableDay(ad.date) }), ad.source]
          .filter((part) => part !== "")
          .join(" · ")}
      </p>
      <Prices visit={visit} ad={ad} />
      <details>
        <summary>{text("claims-ad-whole")}</summary>
        <p class="ad-text">{ad.text}</p>
      </details>
      <Photos
        visit={visit}
        under={`ads/${ad.id}/photos`}
        label={text("claims-add-photo")}
        shown={ad.photos}
        alt={(number) => text("claims-ad-photo", { number })}
      />
      <Spotted visit={visit} ad={ad} />
    </article>
  );
}

export function AdScreen({ visit }: { visit: Visit }) {
  const assessment = useAssessment(visit);
  const ads = adsOf(visit.besideItems());
  const claims = claimsIn(visit);
  const judged = judgedClaims(assessment);
  return (
    <ScreenFrame
      title={text("claims-title")}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
    >
      <p class="hint">{text("claims-hint")}</p>
      <section aria-label={text("claims-ad")}>
        <h2>{text("claims-ad")}</h2>
        {ads.map((ad) => (
          <AdCard key={ad.id} visit={visit} ad={ad} />
        ))}
        {ads.length === 0 ? (
          <AdForm visit={visit} onKept={() => undefined} />
        ) : (
          <details key={ads.length}>
            <summary>{text("claims-ad-another")}</summary>
            <AdForm visit={visit} onKept={() => undefined} />
          </details>
        )}
      </section>
      <section aria-label={text("claims-list")}>
        <h2>{text("claims-list")}</h2>
        {claims.length === 0 && <p class="hint">{text("claims-none")}</p>}
        <ul class="claims">
          {claims.map((claim) => (
            <ClaimRow key={claim.id} visit={visit} claim={claim} judged={judged.get(claim.id)} />
          ))}
        </ul>
      </section>
      <NewClaim visit={visit} />
    </ScreenFrame>
  );
}

/** A car is started by six facts; all others are asked where they matter, or wait in its details. */

import { ScreenFrame } from "../../components/frame/screen-frame";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { BodyStyleFact, styleIn, Uses } from "./fact-choices";
import { MoneyFact, TextFact, WholeFact } from "./fact-fields";

const YEAR = /^(18|19|20)\d\d$/;

/** What says which car it is. */
export function NameFacts({ visit }: { visit: Visit }) {
  return (
    <>
      <TextFact visit={visit} put="car/make" label={text("phone-facts-make")} />
      <TextFact
        visit={visit}
        put="car/model"
        label={text("phone-facts-model")}
        along={(model) => styleIn(model, visit)}
      />
      <WholeFact
        visit={visit}
        put="car/year"
        label={text("phone-facts-year")}
        bad={text("phone-facts-year-bad")}
        pattern={YEAR}
      />
      <BodyStyleFact visit={visit} />
    </>
  );
}

export function StartCar({ visit }: { visit: Visit }) {
  return (
    <ScreenFrame
      title={text("phone-facts-title")}
      back={{ screen: "cars" }}
      foot={
        <a class="button main" href={address({ screen: "walk", visit: visit.id })}>
          {text("phone-facts-walk")}
        </a>
      }
    >
      <p>{text("phone-facts-hint")}</p>
      <NameFacts visit={visit} />
      <Uses visit={visit} />
      <a class="button" href={address({ screen: "purpose", visit: visit.id })}>
        {text("phone-walk-purpose")}
      </a>
      <MoneyFact visit={visit} put="about/asking_price" label={text("phone-facts-price")} />
      <a class="button" href={address({ screen: "facts", visit: visit.id })}>
        {text("phone-facts-more")}
      </a>
    </ScreenFrame>
  );
}

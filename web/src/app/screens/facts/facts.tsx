/** What is known of the car and the day, by few taps; every answer narrows the list. */

import { ScreenFrame } from "../../components/frame/screen-frame";
import { CylinderCount } from "../../components/readings/cylinder-count";
import { address } from "../../state/routes";
import { words } from "../../text/en";
import type { Visit } from "../../visit/visit";
import { CarFactChoices, Conditions, Depth, Uses } from "./fact-choices";
import { Distance, TextFact, WholeFact } from "./fact-fields";

const texts = words.facts;
const YEAR = /^(18|19|20)\d\d$/;
const MONEY = /^\d{1,9}$/;

const MONEY_FACTS = [
  ["about/asking_price", texts.price],
  ["brief/value_good", texts.valueGood],
  ["brief/hourly_rate", texts.rate],
  ["brief/margin", texts.margin],
] as const;

function MoneyFacts({ visit }: { visit: Visit }) {
  const currency = visit.text("about/currency");
  return (
    <>
      {MONEY_FACTS.map(([put, label]) => (
        <WholeFact
          key={put}
          visit={visit}
          put={put}
          label={`${label} (${currency})`}
          bad={texts.money_bad}
          pattern={MONEY}
        />
      ))}
    </>
  );
}

export function CarFacts({ visit }: { visit: Visit }) {
  return (
    <ScreenFrame
      title={texts.title}
      back={{ screen: "walk", visit: visit.id }}
      foot={
        <a class="button main" href={address({ screen: "walk", visit: visit.id })}>
          {texts.walk}
        </a>
      }
    >
      <p>{texts.hint}</p>
      <TextFact visit={visit} put="car/make" label={texts.make} />
      <TextFact visit={visit} put="car/model" label={texts.model} />
      <WholeFact
        visit={visit}
        put="car/year"
        label={texts.year}
        bad={texts.year_bad}
        pattern={YEAR}
      />
      <CarFactChoices visit={visit} />
      <CylinderCount visit={visit} />
      <Uses visit={visit} />
      <Depth visit={visit} />
      <Conditions visit={visit} />
      <TextFact visit={visit} put="car/registration" label={texts.registration} />
      <TextFact visit={visit} put="car/vin" label={texts.vin} />
      <TextFact visit={visit} put="car/colour" label={texts.colour} />
      <Distance visit={visit} put="car/odometer" label={texts.odometer} />
      <Distance visit={visit} put="about/distance_home" label={texts.distance} />
      <TextFact visit={visit} put="about/place" label={texts.place} />
      <TextFact visit={visit} put="about/seller" label={texts.seller} />
      <TextFact visit={visit} put="about/inspector" label={texts.inspector} />
      <TextFact visit={visit} put="about/currency" label={texts.currency} />
      <MoneyFacts visit={visit} />
    </ScreenFrame>
  );
}

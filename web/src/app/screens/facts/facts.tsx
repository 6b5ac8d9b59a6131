/** What is known of the car and the day, by few taps; every answer narrows the list. */

import { codesParts } from "../../components/capture/code-screens";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { CylinderCount } from "../../components/readings/cylinder-count";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { CarFactChoices, Conditions, Depth } from "./car-choices";
import { Uses } from "./fact-choices";
import { Distance, MoneyFact, TextFact } from "./fact-fields";
import { Profile } from "./profile";
import { NameFacts } from "./start";

const MONEY_FACTS = [
  ["about/asking_price", "phone-facts-price"],
  ["brief/value_good", "phone-facts-value"],
  ["brief/hourly_rate", "phone-facts-rate"],
  ["brief/margin", "phone-facts-margin"],
] as const;

function MoneyFacts({ visit }: { visit: Visit }) {
  return (
    <>
      {MONEY_FACTS.map(([put, id]) => (
        <MoneyFact key={put} visit={visit} put={put} label={text(id)} />
      ))}
    </>
  );
}

export function CarFacts({ visit }: { visit: Visit }) {
  const codes = codesParts.use();
  return (
    <ScreenFrame
      title={text("phone-facts-title")}
      back={{ screen: "walk", visit: visit.id }}
      foot={
        <a class="button main" href={address({ screen: "walk", visit: visit.id })}>
          {text("phone-facts-walk")}
        </a>
      }
    >
      <p>{text("phone-facts-hint")}</p>
      <NameFacts visit={visit} />
      <CarFactChoices visit={visit} />
      <CylinderCount visit={visit} />
      <Profile visit={visit} />
      <Uses visit={visit} />
      <Depth visit={visit} />
      <Conditions visit={visit} />
      <TextFact visit={visit} put="car/registration" label={text("phone-facts-registration")} />
      <TextFact visit={visit} put="car/vin" label={text("phone-facts-vin")} />
      {codes !== null && <codes.VinMore visit={visit} />}
      <TextFact visit={visit} put="car/colour" label={text("phone-facts-color")} />
      <Distance visit={visit} put="car/odometer" label={text("phone-facts-odometer")} />
      <Distance visit={visit} put="about/distance_home" label={text("phone-facts-distance")} />
      <TextFact visit={visit} put="about/place" label={text("phone-facts-place")} />
      <TextFact visit={visit} put="about/seller" label={text("phone-facts-seller")} />
      <TextFact visit={visit} put="about/inspector" label={text("phone-facts-inspector")} />
      <TextFact visit={visit} put="about/currency" label={text("phone-facts-currency")} />
      <MoneyFacts visit={visit} />
    </ScreenFrame>
  );
}

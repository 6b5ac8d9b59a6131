/** The facts of the forms as a text to copy by hand where no printer is: what is known, and blanks. */

import { today } from "../../../device/local-time";
import { text } from "../../../text/catalogue";
import { readableDay } from "../../../text/formats";
import { withUnit } from "../../../text/names";
import type { Visit } from "../../../visit/visit";

const BLANK = "__________";

/** The car's own facts, each on a line of its own. */
function carLines(visit: Visit): string[] {
  const fact = (put: string) => visit.text(put) || BLANK;
  const odometer = visit.value("car/odometer") as { typed?: string; unit?: string } | null;
  const reading =
    odometer?.typed === undefined ? BLANK : withUnit(odometer.typed, odometer.unit ?? "");
  return [
    text("leaving-copy-car", {
      year: fact("car/year"),
      make: fact("car/make"),
      model: fact("car/model"),
    }),
    text("leaving-copy-vin", { vin: fact("car/vin") }),
    text("leaving-copy-body", { body: BLANK }),
    text("leaving-copy-odometer", { reading }),
  ];
}

export function billText(visit: Visit): string {
  const date = readableDay(today());
  return [
    text("leaving-bill-title"),
    text("leaving-copy-date", { date }),
    text("leaving-bill-sells", { seller: BLANK, buyer: BLANK }),
    ...carLines(visit),
    text("leaving-bill-price", { price: BLANK }),
    text("leaving-bill-as-is"),
    text("leaving-copy-signed-seller", { blank: BLANK }),
    text("leaving-copy-signed-buyer", { blank: BLANK }),
    text("leaving-check-form"),
  ].join("\n");
}

export function ToCopy({ visit }: { visit: Visit }) {
  return (
    <section aria-label={text("leaving-copy")}>
      <h2>{text("leaving-copy")}</h2>
      <p class="hint">{text("leaving-copy-hint")}</p>
      <details class="part">
        <summary>{text("leaving-bill-title")}</summary>
        <blockquote class="leaving-why">{billText(visit)}</blockquote>
      </details>
      <details class="part">
        <summary>{text("leaving-odometer-title")}</summary>
        <blockquote class="leaving-why">
          {[
            text("leaving-odometer-title"),
            text("leaving-copy-date", { date: readableDay(today()) }),
            ...carLines(visit),
            text("leaving-odometer-states", { seller: BLANK, reading: BLANK }),
            text("leaving-odometer-boxes"),
            text("leaving-copy-signed-seller", { blank: BLANK }),
            text("leaving-copy-signed-buyer", { blank: BLANK }),
            text("leaving-odometer-law"),
            text("leaving-check-form"),
          ].join("\n")}
        </blockquote>
      </details>
    </section>
  );
}

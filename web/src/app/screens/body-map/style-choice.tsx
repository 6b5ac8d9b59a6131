/** Which of the eight body styles the car is: a picture and its word each. */

import type { BodyStyle } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { Silhouette } from "../../components/drawing/car-view";
import { outlineOf, STYLES } from "../../components/drawing/outlines";
import { catalogue, text } from "../../text/catalogue";
import { chosenStyle } from "../../visit/body/car-places";
import type { Visit } from "../../visit/visit";

import "../../components/drawing/body-drawing.css";

export function styleName(style: BodyStyle): string {
  return catalogue.find(`body-style-${style}`);
}

export function StyleChoice({ visit, onDone }: { visit: Visit; onDone?: () => void }) {
  const chosen = chosenStyle(visit);
  const put = "car/body_style";
  const choose = (style: string) => {
    const value = style === chosen ? null : style;
    const answer = value === null ? text("phone-item-nothing") : styleName(style as BodyStyle);
    const title = text("phone-map-style-label");
    void visit.put([{ put, value }], text("phone-item-recorded", { title, answer }));
    onDone?.();
  };
  return (
    <ChoiceButtons
      label={text("phone-map-style-label")}
      className="styles"
      options={STYLES.map((style) => ({
        id: style,
        title: styleName(style),
        mark: <Silhouette outline={outlineOf(style)} />,
      }))}
      chosen={chosen}
      onChoose={choose}
    />
  );
}

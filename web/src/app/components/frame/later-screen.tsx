/** A screen whose parts are on their way, or did not come. */

import type { LazyParts } from "../../state/lazy-parts";
import type { Route } from "../../state/routes";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { ScreenFrame } from "./screen-frame";

interface Props {
  parts: LazyParts<unknown>;
  title: string;
  /** None: the screen belongs to no visit. */
  visit?: Visit;
  /** What is said where they did not come. */
  missing?: string;
}

export function LaterScreen({ parts, visit, title, missing }: Props) {
  const back: Route = visit ? { screen: "walk", visit: visit.id } : { screen: "cars" };
  return (
    <ScreenFrame title={title} back={back}>
      {parts.failed.value ? (
        <>
          <p class="wrong" role="alert">
            {missing ?? text("phone-trouble-not-loaded")}
          </p>
          <button type="button" onClick={parts.fetch}>
            {text("phone-alarm-again")}
          </button>
        </>
      ) : (
        <p role="status">{text("phone-walk-opening")}</p>
      )}
    </ScreenFrame>
  );
}

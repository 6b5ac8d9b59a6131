/** A screen of a visit whose parts are on their way, or did not come. */

import type { LazyParts } from "../../state/lazy-parts";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { ScreenFrame } from "./screen-frame";

interface Props {
  parts: LazyParts<unknown>;
  visit: Visit;
  title: string;
  /** What is said where they did not come. */
  missing: string;
}

export function LaterScreen({ parts, visit, title, missing }: Props) {
  return (
    <ScreenFrame title={title} back={{ screen: "walk", visit: visit.id }}>
      {parts.failed.value ? (
        <>
          <p class="wrong" role="alert">
            {missing}
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

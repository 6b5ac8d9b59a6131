/** The one first question: where the person looks at cars. It is answered with one tap. */

import type { Region } from "../../../shared/contract";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { page } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { REGIONS, region } from "../../text/region";

import "./where.css";

function Answer({ id, isLikely }: { id: Region; isLikely: boolean }) {
  return (
    <button
      type="button"
      data-region={id}
      class={isLikely ? "main where" : "where"}
      onClick={() => void page.state.setRegion(id)}
    >
      <span class="where-title">{text(`phone-where-${id}`)}</span>
      <span>{text(`phone-where-${id}-brings`)}</span>
    </button>
  );
}

export function Where() {
  const likely = region.value;
  const order = [...REGIONS].sort((a, b) => Number(b === likely) - Number(a === likely));
  return (
    <ScreenFrame title={text("phone-where-title")} back={null} above={text("phone-app")}>
      {order.map((id) => (
        <Answer key={id} id={id} isLikely={id === likely} />
      ))}
      <p class="hint">{text("phone-where-hint")}</p>
    </ScreenFrame>
  );
}

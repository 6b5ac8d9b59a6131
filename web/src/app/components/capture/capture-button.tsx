/** The one control that captures, on every screen of an open visit. */

import { useState } from "preact/hooks";
import { open, sellerMode } from "../../state/this-page";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { captureParts } from "./parts";

import "./capture-button.css";

function Sheet({ visit, onClose }: { visit: Visit; onClose: () => void }) {
  const loaded = captureParts.use();
  if (loaded !== null) return <loaded.CaptureSheet visit={visit} onClose={onClose} />;
  if (!captureParts.failed.value) return null;
  return (
    <button type="button" onClick={captureParts.fetch}>
      {text("phone-alarm-again")}
    </button>
  );
}

export function CaptureButton() {
  const [isOpen, setOpen] = useState(false);
  const visit = open.visit.value;
  if (visit === null || sellerMode.visit.value !== null) return null;
  return (
    <>
      <button
        type="button"
        class="capture"
        aria-label={text("phone-capture")}
        onClick={() => setOpen(true)}
      >
        <svg viewBox="0 0 24 24" aria-hidden="true">
          <path d="M12 3V21M3 12H21" />
        </svg>
      </button>
      {isOpen && <Sheet visit={visit} onClose={() => setOpen(false)} />}
    </>
  );
}

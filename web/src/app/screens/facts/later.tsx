/** The car's own figures, which come when the car's details are looked at: no part of a start. */

import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = signal<typeof import("./parts") | null>(null);
const failed = signal(false);

function fetchParts(): void {
  failed.value = false;
  import("./parts").then(
    (loaded) => {
      parts.value = loaded;
    },
    () => {
      failed.value = true;
    },
  );
}

export function Profile({ visit }: { visit: Visit }) {
  useEffect(() => {
    if (parts.peek() === null) fetchParts();
  }, []);
  const loaded = parts.value;
  if (loaded !== null) return <loaded.Profile visit={visit} />;
  if (!failed.value) return null;
  return (
    <button type="button" onClick={fetchParts}>
      {text("phone-alarm-again")}
    </button>
  );
}

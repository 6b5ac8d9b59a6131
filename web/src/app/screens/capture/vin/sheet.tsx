/** The sheet for the car's number: read, typed, then held against what is known. */

import { useEffect, useRef, useState } from "preact/hooks";
import { Modal } from "../../../components/capture/modal";
import { text } from "../../../text/catalogue";
import type { Visit } from "../../../visit/visit";
import { Found } from "./found";
import { Scan } from "./scan";

/** Of any length: before 1981 every maker had its own numbers. */
function TypeVin({ onVin, onBack }: { onVin: (vin: string) => void; onBack: () => void }) {
  const [typed, setTyped] = useState("");
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => field.current?.focus(), []);
  const vin = typed.trim().toUpperCase();
  return (
    <form
      class="vin-typed"
      onSubmit={(event) => {
        event.preventDefault();
        if (vin !== "") onVin(vin);
      }}
    >
      <label for="vin-typed">{text("phone-facts-vin")}</label>
      <input
        ref={field}
        id="vin-typed"
        class="vin-number"
        autocapitalize="characters"
        autocomplete="off"
        spellcheck={false}
        value={typed}
        onInput={({ currentTarget }) => setTyped(currentTarget.value)}
      />
      <p class="hint">{text("codes-vin-count", { count: vin.length })}</p>
      <div class="vin-ways">
        <button type="button" onClick={onBack}>
          {text("phone-back")}
        </button>
        <button type="submit" class="main" disabled={vin === ""}>
          {text("codes-vin-check")}
        </button>
      </div>
    </form>
  );
}

type Step = { of: "scan"; known: string | null } | { of: "type" } | { of: "found"; vin: string };

export function VinSheet({ visit, onClose }: { visit: Visit; onClose: () => void }) {
  const [step, setStep] = useState<Step>({ of: "scan", known: null });
  const found = (vin: string) => setStep({ of: "found", vin });
  const scan = (known: string | null) => setStep({ of: "scan", known });
  return (
    <Modal
      label={text("capture-vin")}
      className={step.of === "scan" ? "modal-all" : "modal-foot"}
      onClose={onClose}
    >
      {step.of === "scan" && (
        <Scan
          known={step.known}
          onVin={found}
          onType={() => setStep({ of: "type" })}
          onClose={onClose}
        />
      )}
      {step.of === "type" && <TypeVin onVin={found} onBack={() => scan(null)} />}
      {step.of === "found" && (
        <Found visit={visit} vin={step.vin} onAgain={() => scan(step.vin)} onClose={onClose} />
      )}
    </Modal>
  );
}

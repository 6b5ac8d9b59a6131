/**
 * The receipt of a signing: the seal's digest as a code, for the seller or buyer to photograph.
 * Whoever has it can tell later whether a report is of the seal that was made then.
 */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Json } from "../../../shared/event";
import { sha256OfText } from "../../../store/encoding";
import { textOf } from "../../../store/log/values";
import { text } from "../../text/catalogue";

import "./seal-receipt.css";

/** Modules of white around a code that readers want (ISO/IEC 18004). */
const QUIET_MODULES = 4;

/** What the phone's signature covers, hashed (store/log/seals.ts); the check page shows the same. */
export function digestOfSeal(value: Record<string, Json>): Promise<string> {
  const { signature: _, ...unsigned } = value;
  return sha256OfText(textOf(unsigned));
}

/** Draws the code; its encoder is fetched when it is first looked at. */
async function draw(sheet: HTMLCanvasElement, content: string): Promise<void> {
  const { correction, generate } = await import("lean-qr/nano");
  const code = generate(content, { minCorrectionLevel: correction.M });
  sheet.width = sheet.height = code.size + 2 * QUIET_MODULES;
  const pen = sheet.getContext("2d");
  if (pen === null) return;
  // a code is read by machines: black on white in every theme
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, sheet.width, sheet.height);
  pen.fillStyle = "#000";
  for (let y = 0; y < code.size; y++) {
    for (let x = 0; x < code.size; x++) {
      if (code.get(x, y)) pen.fillRect(x + QUIET_MODULES, y + QUIET_MODULES, 1, 1);
    }
  }
}

export function SealReceipt({ value }: { value: Record<string, Json> }) {
  const sheet = useRef<HTMLCanvasElement>(null);
  const [digest, setDigest] = useState("");
  const [isOpen, setOpen] = useState(false);
  useEffect(() => {
    if (!isOpen) return;
    void digestOfSeal(value).then(async (made) => {
      setDigest(made.toUpperCase());
      if (sheet.current !== null) await draw(sheet.current, `BRADAWL SEAL ${made.toUpperCase()}`); // not shown
    });
  }, [value, isOpen]);
  return (
    <details class="receipt" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{text("phone-sign-receipt")}</summary>
      <p>{text("phone-sign-receipt-what")}</p>
      <canvas ref={sheet} role="img" aria-label={text("phone-sign-receipt-code")} />
      <code data-digest={digest}>{(digest.match(/.{4}/g) ?? []).join(" ")}</code>
    </details>
  );
}

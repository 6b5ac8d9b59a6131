/**
 * A vehicle's number in the text of a bar code. 49 CFR 565.13: 17 characters, none of them I, O or Q.
 * Labels of imported cars put an I before it (from memory), some readers leave Code 39's asterisks.
 */

export type InCode =
  | { is: "vin"; vin: string }
  /** As long as one, with letters that none has; positions from 1. */
  | { is: "forbidden"; text: string; letter: string; position: number }
  | { is: "other"; text: string };

const LENGTH = 17;
const VIN = /^[A-HJ-NPR-Z0-9]{17}$/;

/** The 17 characters of a text that may have an import label's I before them. */
function bare(text: string): string {
  const plain = text.toUpperCase().replaceAll(/[\s*]/g, "");
  return plain.length === LENGTH + 1 && plain.startsWith("I") ? plain.slice(1) : plain;
}

/** What a code says: a number by itself, or the only one among other words. */
export function vinIn(text: string): InCode {
  const whole = bare(text);
  if (VIN.test(whole)) return { is: "vin", vin: whole };
  if (/^[A-Z0-9]{17}$/.test(whole)) {
    const at = whole.search(/[IOQ]/);
    return { is: "forbidden", text: whole, letter: whole.charAt(at), position: at + 1 };
  }
  const parts = text.split(/[^A-Za-z0-9*]+/).map(bare);
  // a word of 17 letters is no number
  const numbers = new Set(parts.filter((part) => VIN.test(part) && /\d/.test(part)));
  const [vin] = numbers;
  if (vin !== undefined && numbers.size === 1) return { is: "vin", vin };
  return { is: "other", text: text.trim() };
}

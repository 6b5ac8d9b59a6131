/** Money, dates, durations and lists as this reader's locale writes them. */

import { catalogue, marked, PSEUDO_LOCALE, text } from "./catalogue";

/** What the browser says, marked in the pseudo-locale like all that the catalogue says. */
function said(words: string): string {
  return catalogue.locale === PSEUDO_LOCALE ? marked(words) : words;
}

/** A moment for reading, in this phone's zone: "Nov 25, 2026, 9:20 AM CST". */
export function readable(ms: number): string {
  const day = { year: "numeric", month: "short", day: "numeric" } as const;
  const time = { hour: "numeric", minute: "2-digit", timeZoneName: "short" } as const;
  return said(new Intl.DateTimeFormat(catalogue.formats, { ...day, ...time }).format(ms));
}

/** "2026-06-15" or "2022-06" as this locale writes it: "Jun 2022"; anything else as it stands. */
export function dateText(iso: string): string {
  if (!/^\d{4}-\d{2}(-\d{2})?$/.test(iso)) return iso;
  const moment = new Date(iso);
  if (Number.isNaN(moment.getTime())) return iso;
  const form: Intl.DateTimeFormatOptions =
    iso.length > 7 ? { dateStyle: "medium" } : { year: "numeric", month: "short" };
  return said(
    new Intl.DateTimeFormat(catalogue.formats, { ...form, timeZone: "UTC" }).format(moment),
  );
}

/** The names of the months in this reader's language, January first. */
export function monthNames(): string[] {
  const name = new Intl.DateTimeFormat(catalogue.formats, { month: "long", timeZone: "UTC" });
  return Array.from({ length: 12 }, (_, month) => name.format(Date.UTC(2022, month, 15)));
}

/** A day for reading, as the record writes it ("2026-11-25") or of a moment: "Nov 25, 2026". */
export function readableDay(day: string | number): string {
  const date = new Date(typeof day === "number" ? day : `${day}T12:00`);
  return said(date.toLocaleDateString(catalogue.formats, { dateStyle: "medium" }));
}

/** "18:30" as this locale writes a time of the day: "6:30 PM". */
export function clock(time: string): string {
  const form = new Intl.DateTimeFormat(catalogue.formats, { timeStyle: "short", timeZone: "UTC" });
  return said(form.format(new Date(`1970-01-01T${time}Z`)));
}

/** "4 min", "3 hours", "2 days". */
export function duration(ms: number): string {
  const minutes = Math.round(ms / 60_000);
  if (minutes < 1) return text("phone-time-moment");
  if (minutes < 60) return text("phone-time-minutes", { count: minutes });
  const hours = Math.round(minutes / 60);
  if (hours < 48) return text("phone-time-hours", { count: hours });
  return text("phone-time-days", { count: Math.round(hours / 24) });
}

/** How long ago something was. */
export function ago(ms: number, now: number = Date.now()): string {
  return duration(Math.max(0, now - ms));
}

/** "12 MB", "10.7 GB". */
export function size(bytes: number): string {
  if (bytes < 1_000_000_000) return text("phone-size-mb", { size: Math.ceil(bytes / 1_000_000) });
  return text("phone-size-gb", { size: Math.round(bytes / 100_000_000) / 10 });
}

/** "a, b, c". */
export function listed(parts: string[]): string {
  return new Intl.ListFormat(catalogue.formats, { type: "unit", style: "short" }).format(parts);
}

/** Whole money: "$1,300"; with its code where that is no currency's. */
export function money(amount: number, currency: string): string {
  const whole = { maximumFractionDigits: 0 };
  if (!/^[A-Z]{3}$/.test(currency)) {
    return `${amount.toLocaleString(catalogue.formats, whole)} ${currency}`.trim();
  }
  return amount.toLocaleString(catalogue.formats, { style: "currency", currency, ...whole });
}

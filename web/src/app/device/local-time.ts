/** Dates and times as the record writes them: local, with the zone beside. */

export function zoneOf(date: Date): string {
  const minutes = -date.getTimezoneOffset();
  const size = Math.abs(minutes);
  const two = (n: number) => String(n).padStart(2, "0");
  return `${minutes < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

export function moment(date: Date = new Date()): { date: string; time: string; zone: string } {
  const two = (n: number) => String(n).padStart(2, "0");
  return {
    date: `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`,
    time: `${two(date.getHours())}:${two(date.getMinutes())}`,
    zone: zoneOf(date),
  };
}

/** "2026-11-25T09:31:00+01:00" */
export function stampText(date: Date = new Date()): string {
  const { date: day, time, zone } = moment(date);
  return `${day}T${time}:${String(date.getSeconds()).padStart(2, "0")}${zone}`;
}

export function today(): string {
  return moment().date;
}

/** A moment for reading, in the person's own manner. */
export function readable(ms: number): string {
  return new Intl.DateTimeFormat(undefined, { dateStyle: "medium", timeStyle: "short" }).format(ms);
}

/** A day as the record writes it, "2026-11-25", for reading. */
export function readableDay(day: string): string {
  return new Date(`${day}T12:00`).toLocaleDateString(undefined, { dateStyle: "long" });
}

/** "4 min", "3 h", "2 days": how long ago something was. */
export function ago(ms: number, now: number = Date.now()): string {
  return duration(Math.max(0, now - ms));
}

/** "4 min", "3 h", "2 days". */
export function duration(ms: number): string {
  const minutes = Math.round(ms / 60_000);
  if (minutes < 1) return "less than a minute";
  if (minutes < 60) return `${minutes} min`;
  const hours = Math.round(minutes / 60);
  return hours < 48 ? `${hours} h` : `${Math.round(hours / 24)} days`;
}

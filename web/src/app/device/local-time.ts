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

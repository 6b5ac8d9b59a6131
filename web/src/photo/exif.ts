/** What is wanted of a picture's own notes: which way is up, when and where it was taken. */

export interface Notes {
  /** EXIF orientation 1–8; 5 and above lie on their side. */
  orientation: number;
  /** As stored, without the person's pixels: width, height; 0 when not found. */
  width: number;
  height: number;
  /** "YYYY-MM-DDTHH:MM:SS", perhaps with a zone; null when the picture does not say. */
  taken: string | null;
  /** Latitude and longitude as "48.20000, 16.36667", degrees; null when the picture does not say. */
  place: string | null;
}

const ORIENTATION = 0x0112;
const EXIF_IFD = 0x8769;
const TAKEN = 0x9003;
const TAKEN_ZONE = 0x9011;
const GPS_IFD = 0x8825;
const LATITUDE = { side: 1, value: 2, negative: "S", limit: 90 };
const LONGITUDE = { side: 3, value: 4, negative: "W", limit: 180 };

function readTags(
  view: DataView,
  base: number,
  offset: number,
  little: boolean,
): Map<number, number> {
  const tags = new Map<number, number>();
  const count = view.getUint16(base + offset, little);
  for (let entry = 0; entry < count; entry += 1) {
    const at = base + offset + 2 + entry * 12;
    if (at + 12 > view.byteLength) break;
    tags.set(view.getUint16(at, little), at);
  }
  return tags;
}

function text(view: DataView, base: number, at: number, little: boolean): string {
  const length = view.getUint32(at + 4, little);
  const start = length > 4 ? base + view.getUint32(at + 8, little) : at + 8;
  let result = "";
  for (let i = 0; i < length - 1 && start + i < view.byteLength; i += 1) {
    result += String.fromCharCode(view.getUint8(start + i));
  }
  return result;
}

/** One coordinate, stored as three fractions (degrees, minutes, seconds) and a letter. */
function degrees(
  view: DataView,
  base: number,
  tags: Map<number, number>,
  little: boolean,
  { side, value, negative, limit }: typeof LATITUDE,
): number | null {
  const letter = tags.get(side);
  const at = tags.get(value);
  if (letter === undefined || at === undefined) return null;
  let sum = 0;
  const start = base + view.getUint32(at + 8, little);
  for (let part = 0; part < 3; part += 1) {
    const over = view.getUint32(start + part * 8, little);
    const under = view.getUint32(start + part * 8 + 4, little);
    sum += over / under / 60 ** part;
  }
  // also where a part is 0/0, which cameras write for "unknown"
  if (!(sum <= limit)) return null;
  return text(view, base, letter, little) === negative ? -sum : sum;
}

function readPlace(view: DataView, base: number, at: number, little: boolean): string | null {
  const tags = readTags(view, base, view.getUint32(at + 8, little), little);
  const latitude = degrees(view, base, tags, little, LATITUDE);
  const longitude = degrees(view, base, tags, little, LONGITUDE);
  if (latitude === null || longitude === null) return null;
  return `${latitude.toFixed(5)}, ${longitude.toFixed(5)}`;
}

function readExif(view: DataView, base: number, notes: Notes): void {
  const little = view.getUint16(base) === 0x4949;
  const first = readTags(view, base, view.getUint32(base + 4, little), little);
  const orientation = first.get(ORIENTATION);
  if (orientation !== undefined) {
    const value = view.getUint16(orientation + 8, little);
    if (value >= 1 && value <= 8) notes.orientation = value;
  }
  const gps = first.get(GPS_IFD);
  if (gps !== undefined) notes.place = readPlace(view, base, gps, little);
  const below = first.get(EXIF_IFD);
  if (below === undefined) return;
  const exif = readTags(view, base, view.getUint32(below + 8, little), little);
  const taken = exif.get(TAKEN);
  if (taken === undefined) return;
  const match = /^(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)/.exec(text(view, base, taken, little));
  if (match === null) return;
  const zone = exif.get(TAKEN_ZONE);
  const offset = zone === undefined ? "" : text(view, base, zone, little);
  notes.taken = `${match[1]}-${match[2]}-${match[3]}T${match[4]}`;
  if (/^[+-]\d\d:\d\d$/.test(offset)) notes.taken += offset;
}

/** Read what a JPEG says of itself. Anything else, or a damaged one, gives the defaults. */
export function readNotes(bytes: ArrayBuffer): Notes {
  const notes: Notes = { orientation: 1, width: 0, height: 0, taken: null, place: null };
  const view = new DataView(bytes);
  try {
    if (view.getUint16(0) !== 0xffd8) return notes;
    let at = 2;
    while (at + 4 <= view.byteLength) {
      const marker = view.getUint16(at);
      if ((marker & 0xff00) !== 0xff00) break;
      const length = view.getUint16(at + 2);
      if (marker === 0xffe1 && view.getUint32(at + 4) === 0x45786966) {
        readExif(view, at + 10, notes);
      }
      const frame = marker >= 0xffc0 && marker <= 0xffcf;
      if (frame && marker !== 0xffc4 && marker !== 0xffc8 && marker !== 0xffcc) {
        notes.height = view.getUint16(at + 5);
        notes.width = view.getUint16(at + 7);
        break;
      }
      at += 2 + length;
    }
  } catch (problem) {
    // notes that run past the end of the file are no reason to lose the picture
    if (!(problem instanceof RangeError)) throw problem;
  }
  return notes;
}

/** What a file is by its first bytes, whatever its name says. */
export function kindOf(bytes: ArrayBuffer): "jpeg" | "png" | "webp" | "heic" | null {
  const head = new Uint8Array(bytes, 0, Math.min(16, bytes.byteLength));
  const letters = String.fromCharCode(...head);
  if (head[0] === 0xff && head[1] === 0xd8 && head[2] === 0xff) return "jpeg";
  if (letters.startsWith("\x89PNG\r\n\x1a\n")) return "png";
  if (letters.startsWith("RIFF") && letters.slice(8, 12) === "WEBP") return "webp";
  if (letters.slice(4, 8) === "ftyp" && /^(hei[cxms]|hev[cmx]|mif1|msf1)/.test(letters.slice(8))) {
    return "heic";
  }
  return null;
}

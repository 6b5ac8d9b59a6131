/** What a picture's own notes say (Exif 2.32, CIPA DC-008: tags, types and GPS references). */

import { expect, test } from "vitest";
import { kindOf, readNotes } from "../../../src/photo/exif";

const ASCII = 2;
const SHORT = 3;
const LONG = 4;
const RATIONAL = 5;

interface Tag {
  tag: number;
  type: number;
  /** A text, whole numbers, or fractions. */
  value: string | number[] | [number, number][];
}

/** An Exif block written as the standard says, in either byte order. */
class ExifWriter {
  private readonly bytes = new Uint8Array(1_024);
  private readonly view = new DataView(this.bytes.buffer);
  private end = 8;

  constructor(private readonly isLittle: boolean) {
    this.bytes.set(isLittle ? [0x49, 0x49] : [0x4d, 0x4d]);
    this.view.setUint16(2, 42, isLittle);
  }

  /** Write a directory; its offset. */
  directory(tags: Tag[]): number {
    const offset = this.end;
    this.view.setUint16(offset, tags.length, this.isLittle);
    this.end += 2 + tags.length * 12 + 4;
    for (const [index, tag] of tags.entries()) this.entry(offset + 2 + index * 12, tag);
    return offset;
  }

  private entry(at: number, { tag, type, value }: Tag): void {
    this.view.setUint16(at, tag, this.isLittle);
    this.view.setUint16(at + 2, type, this.isLittle);
    const count = typeof value === "string" ? value.length + 1 : value.length;
    this.view.setUint32(at + 4, count, this.isLittle);
    if (typeof value === "string") {
      const place = count > 4 ? this.room(at, count) : at + 8;
      this.bytes.set(new TextEncoder().encode(value), place);
    } else if (type === RATIONAL) {
      const place = this.room(at, count * 8);
      for (const [index, [over, under]] of (value as [number, number][]).entries()) {
        this.view.setUint32(place + index * 8, over, this.isLittle);
        this.view.setUint32(place + index * 8 + 4, under, this.isLittle);
      }
    } else if (type === SHORT) this.view.setUint16(at + 8, value[0] as number, this.isLittle);
    else this.view.setUint32(at + 8, value[0] as number, this.isLittle);
  }

  private room(at: number, size: number): number {
    const place = this.end;
    this.view.setUint32(at + 8, place, this.isLittle);
    this.end += size + (size % 2);
    return place;
  }

  /** A JPEG of 640 × 480 that begins with this block. */
  jpeg(first: number): ArrayBuffer {
    this.view.setUint32(4, first, this.isLittle);
    const exif = this.bytes.subarray(0, this.end);
    const length = exif.length + 8;
    const head = [0xff, 0xd8, 0xff, 0xe1, length >> 8, length & 255, 0x45, 0x78, 0x69, 0x66, 0, 0];
    const frame = [0xff, 0xc0, 0, 11, 8, 480 >> 8, 480 & 255, 640 >> 8, 640 & 255, 1, 1, 0x11, 0];
    return Uint8Array.from([...head, ...exif, ...frame]).buffer;
  }
}

type Dms = [degrees: number, minutes: number, seconds: number];
const fractions = ([d, m, s]: Dms): [number, number][] => [
  [d, 1],
  [m, 1],
  [Math.round(s * 100), 100],
];

function photoAt(isLittle: boolean, latitude: [string, Dms], longitude: [string, Dms]) {
  const writer = new ExifWriter(isLittle);
  const gps = writer.directory([
    { tag: 1, type: ASCII, value: latitude[0] },
    { tag: 2, type: RATIONAL, value: fractions(latitude[1]) },
    { tag: 3, type: ASCII, value: longitude[0] },
    { tag: 4, type: RATIONAL, value: fractions(longitude[1]) },
  ]);
  return readNotes(writer.jpeg(writer.directory([{ tag: 0x8825, type: LONG, value: [gps] }])));
}

const NORTH: [string, Dms] = ["N", [48, 12, 30]];
const SOUTH: [string, Dms] = ["S", [33, 51, 25.2]];
const EAST: [string, Dms] = ["E", [16, 22, 12]];
const WEST: [string, Dms] = ["W", [104, 59, 24]];

test.each([
  [NORTH, EAST, "48.20833, 16.37000"],
  [NORTH, WEST, "48.20833, -104.99000"],
  [SOUTH, EAST, "-33.85700, 16.37000"],
  [SOUTH, WEST, "-33.85700, -104.99000"],
])("a place in each quarter of the globe, in both byte orders: %j %j", (lat, long, place) => {
  for (const isLittle of [true, false]) expect(photoAt(isLittle, lat, long).place).toBe(place);
});

test("a place off the globe, or of which the camera knows a part, is none", () => {
  expect(photoAt(true, ["N", [91, 0, 0]], EAST).place).toBeNull();
  expect(photoAt(true, NORTH, ["E", [180, 0, 0.01]]).place).toBeNull();
  const writer = new ExifWriter(true);
  const unknown: [number, number][] = [
    [0, 0],
    [0, 0],
    [0, 0],
  ];
  const gps = writer.directory([
    { tag: 1, type: ASCII, value: "N" },
    { tag: 2, type: RATIONAL, value: unknown },
    { tag: 3, type: ASCII, value: "E" },
    { tag: 4, type: RATIONAL, value: unknown },
  ]);
  const photo = writer.jpeg(writer.directory([{ tag: 0x8825, type: LONG, value: [gps] }]));
  expect(readNotes(photo).place).toBeNull();
});

test("which way is up, how large, and when, with the zone where the picture has it", () => {
  for (const isLittle of [true, false]) {
    const writer = new ExifWriter(isLittle);
    const below = writer.directory([
      { tag: 0x9003, type: ASCII, value: "2026:11:25 09:31:07" },
      { tag: 0x9011, type: ASCII, value: "-06:00" },
    ]);
    const first = writer.directory([
      { tag: 0x0112, type: SHORT, value: [6] },
      { tag: 0x8769, type: LONG, value: [below] },
    ]);
    expect(readNotes(writer.jpeg(first))).toEqual({
      orientation: 6,
      width: 640,
      height: 480,
      taken: "2026-11-25T09:31:07-06:00",
      place: null,
    });
  }
});

test("a picture cut off anywhere keeps what was read and raises nothing", () => {
  const writer = new ExifWriter(true);
  const whole = writer.jpeg(writer.directory([{ tag: 0x0112, type: SHORT, value: [3] }]));
  for (let length = 2; length < whole.byteLength; length += 1) {
    expect(readNotes(whole.slice(0, length)).place).toBeNull();
  }
  expect(readNotes(whole).orientation).toBe(3);
});

test("what a file is, by its first bytes", () => {
  const of = (text: string) => kindOf(Uint8Array.from(text, (c) => c.charCodeAt(0)).buffer);
  // JPEG: ITU-T T.81; PNG: W3C; RIFF: RFC 9649; HEIF: ISO/IEC 23008-12 brands
  expect(of("\xff\xd8\xff\xe0")).toBe("jpeg");
  expect(of("\x89PNG\r\n\x1a\n....")).toBe("png");
  expect(of("RIFF1234WEBPVP8 ")).toBe("webp");
  expect(of("\0\0\0\x18ftypheic....")).toBe("heic");
  expect(of("\0\0\0\x18ftypmp42....")).toBeNull();
  expect(of("GIF89a")).toBeNull();
});

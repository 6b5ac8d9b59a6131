/**
 * A ZIP archive whose members are stored as they are: PKWARE's APPNOTE 6.3.10, 4.3.7 (local header),
 * 4.3.12 (central directory) and 4.3.16 (its end). Any computer opens it; photos lie in it as files.
 *
 * Made piece by piece: what was added is a Blob, which the browser may keep on the disk.
 */

/** January 1, 1980: the archive says nothing of when it was made; what is in it does. */
const DAY = 0x21;
const VERSION = 10;

const CRC = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let bit = 0; bit < 8; bit += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});

/** The checksum of APPNOTE 4.4.7 (ISO 3309): the polynomial 0xedb88320, reflected. */
export function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = (CRC[(crc ^ byte) & 255] as number) ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
}

/** Little-endian fields, each [value, bytes]. */
function fields(...of: [value: number, size: 2 | 4][]): Uint8Array<ArrayBuffer> {
  const view = new DataView(new ArrayBuffer(of.reduce((sum, [, size]) => sum + size, 0)));
  let at = 0;
  for (const [value, size] of of) {
    if (size === 2) view.setUint16(at, value, true);
    else view.setUint32(at, value, true);
    at += size;
  }
  return new Uint8Array(view.buffer);
}

export class Archive {
  private readonly parts: Blob[] = [];
  private readonly directory: Uint8Array<ArrayBuffer>[] = [];
  private size_bytes = 0;
  private count = 0;

  /** Put a file into it. `name` is ASCII, with slashes between folders. */
  add(name: string, content: ArrayBuffer | string): void {
    const bytes =
      typeof content === "string" ? new TextEncoder().encode(content) : new Uint8Array(content);
    const called = new TextEncoder().encode(name);
    const known: [number, 2 | 4][] = [
      [VERSION, 2],
      [0, 2],
      [0, 2],
      [0, 2],
      [DAY, 2],
      [crc32(bytes), 4],
      [bytes.length, 4],
      [bytes.length, 4],
      [called.length, 2],
      [0, 2],
    ];
    const head = fields([0x04034b50, 4], ...known);
    this.directory.push(
      fields(
        [0x02014b50, 4],
        [VERSION, 2],
        ...known,
        [0, 2],
        [0, 2],
        [0, 2],
        [0, 4],
        [this.size_bytes, 4],
      ),
      called,
    );
    this.parts.push(new Blob([head, called, bytes]));
    this.size_bytes += head.length + called.length + bytes.length;
    this.count += 1;
  }

  /** The whole of it. */
  file(name: string): File {
    const size = this.directory.reduce((sum, part) => sum + part.length, 0);
    const end = fields(
      [0x06054b50, 4],
      [0, 2],
      [0, 2],
      [this.count, 2],
      [this.count, 2],
      [size, 4],
      [this.size_bytes, 4],
      [0, 2],
    );
    return new File([...this.parts, ...this.directory, end], name, { type: "application/zip" });
  }
}

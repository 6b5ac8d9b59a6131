/** Each built file once more, packed with brotli and gzip, so that the server hands it over as it is. */

import { readFileSync, writeFileSync } from "node:fs";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const WORTH_IT = /\.(css|html|js|json|svg|wasm|webmanifest)$/;

export const PACKED = /\.(br|gz)$/;

export function packed(bytes: Uint8Array): Uint8Array {
  return brotliCompressSync(bytes, {
    params: {
      [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY,
      [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length,
    },
  });
}

export function compressFiles(paths: readonly string[]): void {
  for (const path of paths) {
    if (!WORTH_IT.test(path)) continue;
    const bytes = readFileSync(path);
    writeFileSync(`${path}.br`, packed(bytes));
    writeFileSync(`${path}.gz`, gzipSync(bytes, { level: 9 }));
  }
}

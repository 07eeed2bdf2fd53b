// SPDX-License-Identifier: MIT
// Files in one archive, stored as they are: PKWARE's APPNOTE 6.3.10, 4.3 (local headers, central directory, its end) and
// bit 11 of 4.4.4 (names in UTF-8). PDFs are compressed already.
const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  for (let k = 0; k < 8; k++) n = n & 1 ? 0xedb88320 ^ (n >>> 1) : n >>> 1;
  return n;
});
const UTF8 = 0x0800;
const VERSION = 20;
const FIRST_DAY = 0x21; // 1 January 1980: when they were made is said in the files

function crc(bytes) {
  let sum = 0xffffffff;
  for (const byte of bytes) sum = TABLE[(sum ^ byte) & 255] ^ (sum >>> 8);
  return (sum ^ 0xffffffff) >>> 0;
}

/** Numbers as so many bytes each, the least first: [[value, bytes], …]. */
function packed(numbers) {
  const out = [];
  for (const [value, bytes] of numbers) for (let i = 0; i < bytes; i++) out.push((value >>> (8 * i)) & 255);
  return Uint8Array.from(out);
}

const facts = (file) => [
  [VERSION, 2],
  [UTF8, 2],
  [0, 2],
  [0, 2],
  [FIRST_DAY, 2],
  [file.crc, 4],
  [file.bytes.length, 4],
  [file.bytes.length, 4],
  [file.name.length, 2],
  [0, 2],
];

/** `files`: [{name, bytes}], bytes as Uint8Array. Gives a Blob. */
export function zipOf(files) {
  const parts = [];
  const directory = [];
  let at = 0;
  const put = (list, ...pieces) => pieces.forEach((piece) => list.push(piece));
  for (const { name, bytes } of files) {
    const file = { name: new TextEncoder().encode(name), bytes, crc: crc(bytes) };
    put(parts, packed([[0x04034b50, 4], ...facts(file)]), file.name, bytes);
    put(directory, packed([[0x02014b50, 4], [VERSION, 2], ...facts(file), [0, 2], [0, 2], [0, 2], [0, 4], [at, 4]]), file.name);
    at += 30 + file.name.length + bytes.length;
  }
  const size = directory.reduce((sum, one) => sum + one.length, 0);
  const end = packed([
    [0x06054b50, 4],
    [0, 2],
    [0, 2],
    [files.length, 2],
    [files.length, 2],
    [size, 4],
    [at, 4],
    [0, 2],
  ]);
  return new Blob([...parts, ...directory, end], { type: "application/zip" });
}

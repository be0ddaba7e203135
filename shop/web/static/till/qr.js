/* A square code of an address (QR code, ISO/IEC 18004), made on the phone, so that a receipt can be shown without signal.

   Byte mode, error level M, versions 1 to 9: addresses of up to 180 bytes. */

/* By version: words of error correction in a block, then the words of data in each block. */
const BLOCKS = [
  null, [10, [16]], [16, [28]], [26, [44]], [18, [32, 32]], [24, [43, 43]], [16, [27, 27, 27, 27]],
  [18, [31, 31, 31, 31]], [22, [38, 38, 39, 39]], [22, [36, 36, 36, 37, 37]],
];
const ALIGNED = [null, [], [6, 18], [6, 22], [6, 26], [6, 30], [6, 34], [6, 22, 38], [6, 24, 42], [6, 26, 46]];

const POWER = new Uint8Array(512), LOG = new Uint8Array(256);
for (let place = 0, value = 1; place < 255; place += 1) {
  POWER[place] = POWER[place + 255] = value;
  LOG[value] = place;
  value = (value << 1) ^ (value & 128 ? 0x11d : 0);
}

function times(one, other) {
  return one && other ? POWER[LOG[one] + LOG[other]] : 0;
}

/** The words of error correction of a block (Reed and Solomon's code over the field of 256). */
function correction(data, count) {
  let divisor = [1];
  for (let power = 0; power < count; power += 1) {
    const next = [...divisor, 0];
    divisor.forEach((term, place) => { next[place + 1] ^= times(term, POWER[power]); });
    divisor = next;
  }
  const rest = [...data, ...new Array(count).fill(0)];
  for (let place = 0; place < data.length; place += 1) {
    const lead = rest[place];
    if (lead) divisor.forEach((term, at) => { rest[place + at] ^= times(term, lead); });
  }
  return rest.slice(data.length);
}

function wordsOf(bytes, version) {
  const [extra, sizes] = BLOCKS[version];
  const room = sizes.reduce((sum, size) => sum + size, 0);
  const bits = [];
  const put = (value, count) => { for (let bit = count - 1; bit >= 0; bit -= 1) bits.push((value >> bit) & 1); };
  put(4, 4);
  put(bytes.length, 8);
  bytes.forEach((byte) => put(byte, 8));
  put(0, Math.min(4, room * 8 - bits.length));
  put(0, (8 - (bits.length % 8)) % 8);
  for (let pad = 0xec; bits.length < room * 8; pad ^= 0xfd) put(pad, 8);
  const words = [];
  for (let at = 0; at < bits.length; at += 8) words.push(bits.slice(at, at + 8).reduce((word, bit) => word * 2 + bit, 0));
  let begin = 0;
  const blocks = sizes.map((size) => words.slice(begin, (begin += size)));
  const corrections = blocks.map((block) => correction(block, extra));
  const woven = [];
  for (let place = 0; place < Math.max(...sizes); place += 1) blocks.forEach((block) => { if (place < block.length) woven.push(block[place]); });
  for (let place = 0; place < extra; place += 1) corrections.forEach((block) => woven.push(block[place]));
  return woven;
}

/** A remainder of the standard's cyclic codes, for the format and the version that are written beside the data. */
function remainder(value, divisor, bits) {
  let rest = value << bits;
  for (let bit = 20; bit >= bits; bit -= 1) if (rest & (1 << bit)) rest ^= divisor << (bit - bits);
  return rest;
}

const MASKS = [
  (x, y) => (x + y) % 2 === 0, (x, y) => y % 2 === 0, (x) => x % 3 === 0, (x, y) => (x + y) % 3 === 0,
  (x, y) => (Math.floor(y / 2) + Math.floor(x / 3)) % 2 === 0, (x, y) => ((x * y) % 2) + ((x * y) % 3) === 0,
  (x, y) => (((x * y) % 2) + ((x * y) % 3)) % 2 === 0, (x, y) => (((x + y) % 2) + ((x * y) % 3)) % 2 === 0,
];

/** The parts that every code of a version has; `null` where data goes. */
function ground(version) {
  const size = 17 + 4 * version;
  const rows = Array.from({ length: size }, () => new Array(size).fill(null));
  const set = (x, y, dark) => { if (x >= 0 && y >= 0 && x < size && y < size) rows[y][x] = dark; };
  for (const [left, top] of [[0, 0], [size - 7, 0], [0, size - 7]]) {
    for (let y = -1; y <= 7; y += 1) for (let x = -1; x <= 7; x += 1) {
      const ring = Math.max(Math.abs(x - 3), Math.abs(y - 3));
      set(left + x, top + y, ring !== 2 && ring !== 4);
    }
  }
  for (let at = 8; at < size - 8; at += 1) rows[6][at] = rows[at][6] = at % 2 === 0;
  const places = ALIGNED[version], last = places.length - 1;
  places.forEach((top, row) => places.forEach((left, column) => {
    if ((row === 0 && (column === 0 || column === last)) || (row === last && column === 0)) return;
    for (let y = -2; y <= 2; y += 1) for (let x = -2; x <= 2; x += 1) set(left + x, top + y, Math.max(Math.abs(x), Math.abs(y)) !== 1);
  }));
  if (version >= 7) {
    const told = (version << 12) | remainder(version, 0x1f25, 12);
    for (let bit = 0; bit < 18; bit += 1) {
      const dark = Boolean((told >> bit) & 1), far = size - 11 + (bit % 3), near = Math.floor(bit / 3);
      rows[near][far] = rows[far][near] = dark;
    }
  }
  return rows;
}

function putFormat(rows, mask) {
  const size = rows.length;
  const told = ((mask << 10) | remainder(mask, 0x537, 10)) ^ 0x5412; /* level M is 00 */
  const bit = (place) => Boolean((told >> place) & 1);
  for (let place = 0; place < 6; place += 1) rows[place][8] = bit(place);
  rows[7][8] = bit(6);
  rows[8][8] = bit(7);
  rows[8][7] = bit(8);
  for (let place = 9; place < 15; place += 1) rows[8][14 - place] = bit(place);
  for (let place = 0; place < 8; place += 1) rows[8][size - 1 - place] = bit(place);
  for (let place = 8; place < 15; place += 1) rows[size - 15 + place][8] = bit(place);
  rows[size - 8][8] = true;
}

/** How hard a code is to read: long runs, blocks, and more dark than light or less. */
function trouble(rows) {
  let points = 0, dark = 0;
  const size = rows.length;
  for (let y = 0; y < size; y += 1) {
    let across = 1, down = 1;
    for (let x = 0; x < size; x += 1) {
      dark += rows[y][x];
      if (!x) continue;
      across = rows[y][x] === rows[y][x - 1] ? across + 1 : 1;
      down = rows[x][y] === rows[x - 1][y] ? down + 1 : 1;
      points += (across === 5 ? 3 : across > 5 ? 1 : 0) + (down === 5 ? 3 : down > 5 ? 1 : 0);
      if (y && rows[y][x] === rows[y][x - 1] && rows[y][x] === rows[y - 1][x] && rows[y][x] === rows[y - 1][x - 1]) points += 3;
    }
  }
  return points + 10 * Math.floor(Math.abs((dark * 100) / (size * size) - 50) / 5);
}

/** The code of a text as rows of dark (true) and light modules, without its quiet border. */
export function codeOf(text) {
  const bytes = [...new TextEncoder().encode(text)];
  const version = BLOCKS.findIndex((one) => one && one[1].reduce((sum, size) => sum + size, 0) >= bytes.length + 2);
  if (version < 1) throw new RangeError("too long for a code");
  const plain = ground(version), size = plain.length;
  putFormat(plain, 0); /* keeps its places free of data */
  const path = [];
  for (let right = size - 1, up = true; right >= 1; right -= 2, up = !up) {
    if (right === 6) right = 5;
    for (let step = 0; step < size; step += 1) {
      const y = up ? size - 1 - step : step;
      for (const x of [right, right - 1]) if (plain[y][x] === null) path.push([x, y]);
    }
  }
  const words = wordsOf(bytes, version);
  const codes = MASKS.map((mask, which) => {
    const rows = plain.map((row) => [...row]);
    path.forEach(([x, y], place) => { rows[y][x] = Boolean(((words[place >> 3] || 0) >> (7 - (place & 7))) & 1) !== mask(x, y); });
    putFormat(rows, which);
    return { rows, points: trouble(rows) };
  });
  return codes.reduce((best, one) => (one.points < best.points ? one : best)).rows;
}

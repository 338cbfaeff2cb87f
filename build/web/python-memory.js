// The memory of a started Python, kept on the device with the files of its version, so that it is deleted with them. It
// is used only in the browser that made it and only if it is intact, and never again once a start from it did not
// finish.
const KEPT = "python-memory";
const TRYING = "python-memory-trying";
const PAGE = 65536;               // a third of a memory is empty pages, which are left out
const ROOM_TIMES = 10;            // the free space it takes, in multiples of its size. † Our judgement, no source.

const at = (name) => new URL(name, self.location).href;

// The cache of the version that is served, as sw.js names it; null where there is none. Whoever makes a memory asks for
// it beforehand, as the version may change meanwhile.
export async function place() {
  const { pathname } = new URL(at("."));
  const served = await globalThis.caches?.match(at("served"), { cacheName: `companion-versions ${pathname}` });
  return served ? caches.open(`companion ${pathname} ${await served.text()}`) : null;
}

// The size of the memory and the function that fills a buffer with it; null where there is none to use.
export async function remembered() {
  const cache = await place();
  const [kept, unfinished] = cache ? await Promise.all([cache.match(at(KEPT)), cache.match(at(TRYING))]) : [];
  if (!kept) return null;
  if (unfinished || kept.headers.get("made-in") !== navigator.userAgent) {
    await forget();
    return null;
  }
  await trying(true);
  return { size: Number(kept.headers.get("size")), fill: (memory) => fill(memory, kept) };
}

async function fill(memory, kept) {
  const bytes = new Uint8Array(await kept.arrayBuffer());
  if (sum(bytes) !== kept.headers.get("sum")) throw new Error("the memory that was kept is damaged");
  for (const [from, at, length] of pieces(JSON.parse(kept.headers.get("runs")))) {
    memory.set(bytes.subarray(from, from + length), at);
  }
}

// Each run as its place in what is kept, its place in the memory, and its length.
function* pieces(runs) {
  let from = 0;
  for (const { at, length } of runs) {
    yield [from, at, length];
    from += length;
  }
}

// The runs of pages of a memory that are not empty.
function filledRuns(memory) {
  const runs = [];
  for (let at = 0; at < memory.length; at += PAGE) {
    const page = memory.subarray(at, at + PAGE);
    if (!page.some((byte) => byte)) continue;
    const last = runs.at(-1);
    if (last && last.at + last.length === at) last.length += page.length;
    else runs.push({ at, length: page.length });
  }
  return runs;
}

export async function keep(memory, cache) {
  const runs = filledRuns(memory);
  const bytes = new Uint8Array(runs.reduce((total, { length }) => total + length, 0));
  for (const [from, at, length] of pieces(runs)) bytes.set(memory.subarray(at, at + length), from);
  const { quota, usage } = await navigator.storage?.estimate?.() ?? { quota: Infinity, usage: 0 };
  if (!cache || quota - usage < ROOM_TIMES * bytes.length) throw new Error("There is no place for Python's memory.");
  const headers = { "made-in": navigator.userAgent, size: memory.length, runs: JSON.stringify(runs), sum: sum(bytes) };
  await cache.put(at(KEPT), new Response(bytes, { headers }));
}

export async function forget() {
  const cache = await place();
  await Promise.all([cache?.delete(at(KEPT)), cache?.delete(at(TRYING))]);
}

export async function trying(on) {
  const cache = await place();
  await (on ? cache?.put(at(TRYING), new Response("")) : cache?.delete(at(TRYING)));
}

// Fletcher's checksum over words, which shows any single damage. (J. G. Fletcher, IEEE Transactions on Communications
// 30(1), 1982; from memory.)
function sum(bytes) {
  const words = new Uint32Array(bytes.buffer, 0, bytes.length >> 2);
  let first = bytes.length, second = 0;
  for (let word = 0; word < words.length; word += 1) {
    first = (first + words[word]) | 0;
    second = (second + first) | 0;
  }
  return `${first} ${second}`;
}

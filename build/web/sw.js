// Keeps the whole application on the device, one version at a time.
//
// files.json lists a version: every file with its digest, and a digest over all of them, which is the version's name.
// The files go into a cache of that name, each checked against its digest, and only a complete version is served. The
// version served changes for all files at once, and only while no session runs and no other window is open. This script
// may be updated at any time, because it contains nothing of a version.
//
// A new version is looked for at each navigation, so that one whose page does nothing is replaced too. One origin may
// hold several builds: every name carries the scope.
"use strict";

const scope = self.registration.scope;
const at = (name) => new URL(name, scope).href;
const path = new URL(scope).pathname;
const LIST = "files.json";
const STATE = `companion-versions ${path}`;   // the cache with the names of the versions: served, waiting, that works
const VERSION = `companion ${path} `;    // before a version's name, the name of its cache
const DATABASE = `session-companion ${path}`;
const LOOK_LIMIT_MS = 3000;              // a navigation waits no longer for what is kept. † Our judgement, no source.
const LIST_LIMIT_MS = 20000;             // † Our judgement, no source.
const FILE_LIMIT_MS = 300000;            // † Our judgement, no source.
const AT_ONCE = 6;                       // downloads in parallel
const POLICY = "@policy@";
const UNDER_POLICY = new Set(["index.html", "python-worker.js"]);

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim().then(() => keepOnce())));

// What a promise gives, or something else where it takes too long or fails.
function within(limitMs, promise, otherwise) {
  const late = new Promise((resolve) => { setTimeout(resolve, limitMs, otherwise); });
  return Promise.race([promise.catch(() => otherwise), late]);
}

// --- what is named ----------------------------------------------------------------------------------------------

async function named(what) {
  const kept = await caches.match(at(what), { cacheName: STATE });
  return kept ? kept.text() : null;
}

async function name(what, version) {
  const state = await caches.open(STATE);
  if (version) await state.put(at(what), new Response(version));
  else await state.delete(at(what));
}

// --- answering --------------------------------------------------------------------------------------------------

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && request.url.startsWith(scope)) event.respondWith(answer(event));
});

async function answer(event) {
  const { request } = event;
  if (request.mode === "navigate") {
    await within(LOOK_LIMIT_MS, take(null), "too late");
    event.waitUntil(keepOnce());
  }
  const file = new URL(request.url).pathname.slice(path.length) || "index.html";
  const version = await named("served");
  if (version) return await keptOf(version, file) ?? fetch(request);
  event.waitUntil(keepOnce());
  const first = await begun;
  if (!first?.list.files[file]) return fetch(request);
  await once(first, file).catch(() => null);   // where the device is full, the host answers
  return await keptOf(first.list.version, file) ?? fetch(request);
}

// Ignores what the host says a reply depends on, as there is one of each file.
const keptOf = (version, file) => caches.match(at(file), { cacheName: VERSION + version, ignoreVary: true });

// --- bringing a version -----------------------------------------------------------------------------------------

let keeping = null;
let begun = Promise.resolve(null);       // the version being fetched, if it is the first

self.addEventListener("message", (event) => {
  const { kind } = event.data;
  if (kind === "keep") event.waitUntil(keepOnce().then(() => event.source.postMessage({ kind: "looked" })));
  if (kind === "works") event.waitUntil(named("served").then((served) => served && name("works", served)));
  if (kind === "works not") event.waitUntil(name("works", null));
  if (kind === "take") {
    event.waitUntil(take(event.source.id).then((taken) => event.source.postMessage({ kind, taken })));
  }
});

// The windows of this build; other pages of the origin are none of its business.
async function ownWindows() {
  const windows = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  return windows.filter((one) => one.url.startsWith(scope));
}

async function tell(message) {
  for (const one of await ownWindows()) one.postMessage(message);
}

function keepOnce() {
  if (keeping) return keeping;
  const started = named("served").then(start);
  begun = started.then((coming) => coming.served ? null : coming).catch(() => null);
  keeping = keep(started).catch((fault) => console.info(`The version served stays: ${fault}`)).finally(() => {
    keeping = null;
    begun = Promise.resolve(null);
  });
  return keeping;
}

// Fetches the host's version where it differs from the one served. Without a network nothing happens.
async function keep(started) {
  const served = await named("served");
  if (served && await isWhole(served)) tell({ kind: "kept", waiting: await named("waiting") });
  const coming = await started;
  const { version } = coming.list;
  if (version !== coming.served || !await isWhole(version)) await bring(coming);
  const now = await named("served");     // it may have been taken meanwhile
  if (!now) await name("served", version);
  else await name("waiting", version === now ? null : version);
  await forgetOthers();
  tell({ kind: "kept", waiting: await named("waiting") });
}

// Whether every file of a version is kept; a browser, or a person, may have removed some.
async function isWhole(version) {
  const { files } = await known(version);
  const cache = await caches.open(VERSION + version);
  const kept = new Set((await cache.keys()).map(({ url }) => url));
  return kept.has(at(LIST)) && Object.keys(files).every((file) => kept.has(at(file)));
}

async function start(served) {
  const list = await (await asked(LIST, "no-store")).json();
  const cache = await caches.open(VERSION + list.version);
  return { list, cache, served, older: served ? await known(served) : { files: {} }, brought: new Map() };
}

async function bring(coming) {
  const left = Object.entries(coming.list.files);
  const total = left.reduce((sum, [, { bytes }]) => sum + bytes, 0);
  let done = 0;
  const bringNext = async () => {
    for (let next = left.shift(); next; next = left.shift()) {
      await once(coming, next[0]);
      done += next[1].bytes;
      tell({ kind: "progress", done, total, first: !coming.served });
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, bringNext));
  const text = JSON.stringify(coming.list);
  await coming.cache.put(at(LIST), new Response(text, { headers: { "content-type": "application/json" } }));
}

// Each file is fetched once, for the version or for the page that starts from it meanwhile. Even then the page gets the
// kept file, which the browser recognises at the next start, together with the code that it compiled.
function once(coming, file) {
  if (!coming.brought.has(file)) coming.brought.set(file, one(coming, file));
  const brought = coming.brought.get(file);
  brought.catch(() => {});               // whoever waits for it gets the fault
  return brought;
}

async function one({ list, cache, served, older }, file) {
  if (await keptOf(list.version, file)) return;
  const { sha256 } = list.files[file];
  const alike = older.files[file]?.sha256 === sha256 && await keptOf(served, file);
  // A host that compares only times may call an outdated file current; then it is fetched unconditionally.
  const good = alike || await asked(file, "no-cache").then((reply) => checked(reply, file, sha256))
    .catch(async () => checked(await asked(file, "reload"), file, sha256));
  await cache.put(at(file), good);
}

// Keeps the host's own reply, because only with those does the browser also keep the compiled code. A file that runs
// under a policy of its own gets ours instead of the host's.
async function checked(reply, file, sha256) {
  const own = reply.clone();
  const bytes = await reply.arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const found = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (found !== sha256) throw new Error(`${file} is not what the list says`);
  if (!UNDER_POLICY.has(file) && reply.headers.get("vary") !== "*") return own;   // such a reply cannot be kept
  const type = reply.headers.get("content-type") ?? "application/octet-stream";
  return new Response(bytes, { headers: { "content-type": type, "content-security-policy": POLICY } });
}

async function known(version) {
  const kept = await keptOf(version, LIST);
  return kept ? kept.json() : { files: {} };
}

async function asked(file, how) {
  const giveUp = new AbortController();
  setTimeout(() => giveUp.abort(), file === LIST ? LIST_LIMIT_MS : FILE_LIMIT_MS);
  const reply = await fetch(at(file), { cache: how, signal: giveUp.signal });
  if (!reply.ok) throw new Error(`${file}: ${reply.status}`);
  return reply;
}

async function forgetOthers() {
  const wanted = [STATE, VERSION + await named("served"), VERSION + await named("waiting")];
  const ours = (await caches.keys()).filter((key) => key.startsWith(VERSION) && !wanted.includes(key));
  await Promise.all(ours.map((key) => caches.delete(key)));
}

// --- taking a version that waits --------------------------------------------------------------------------------

// Serves the waiting version from now on, or says why it cannot.
async function take(asking) {
  const waiting = await named("waiting");
  if (!waiting) return "nothing waits";
  // A version that never worked, or is too old for the records, holds nothing up: its windows do nothing, and a session
  // could not go on in it.
  const works = await named("works") === await named("served");
  if (works && (await ownWindows()).some((one) => one.id !== asking)) return "another window";
  if (works && await within(LOOK_LIMIT_MS, sessionRuns(), true)) return "a session runs";
  if (!await isWhole(waiting)) return "nothing waits";
  await name("served", waiting);
  await name("waiting", null);
  await forgetOthers();
  return "taken";
}

// Whether what is kept says that anybody's session is in progress. Never creates a database.
async function sessionRuns() {
  const held = await indexedDB.databases?.() ?? [];
  const others = held.map((one) => one.name).filter((name) => name.startsWith(`${DATABASE} `));
  return (await Promise.all([DATABASE, ...others].map(sessionRunsIn))).includes(true);
}

function sessionRunsIn(name) {
  return new Promise((resolve) => {
    const opening = indexedDB.open(name);
    opening.onupgradeneeded = () => opening.transaction.abort();
    opening.onerror = () => resolve(false);
    opening.onsuccess = () => {
      const database = opening.result;
      database.onversionchange = () => database.close();
      const done = (runs) => { resolve(runs); database.close(); };
      if (!database.objectStoreNames.contains("run")) return done(false);
      const counting = database.transaction("run").objectStore("run").count();
      counting.onsuccess = () => done(counting.result > 0);
      counting.onerror = () => done(true);
    };
  });
}

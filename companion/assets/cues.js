// The page's side of the cues. Python hands over the coming cues ahead of time, and this script fires them on the
// page's own timers: vibration, tones on the audio clock, words by a voice of the device or recorded. It draws nothing.
// Its first part is the page's link to its Python: a token that tells this page from every other, messages both ways,
// and the distance between the two clocks.
//
// companion/services/page_messages.py describes the messages. All times are milliseconds: page times are
// performance.now(), clock times are Python's monotonic clock. Loaded after python.js and before the client starts.
"use strict";

var companionPage = (() => {
  const TOKEN_WAIT_MS = 500;      // after this an open page holds the token, so this one is a duplicate
  const RELOAD_WAIT_MS = 5000;    // the page that this one replaces may take this long to go
  const RETRY_MS = [100, 250, 500, 1000, 2000];
  const PINGS = 5;
  const PINGS_AT_MOST = 40;
  const PING_GAP_MS = 40;
  const BUSY_GAP_MS = 200;
  const GOOD_MARGIN_MS = 1;
  const MEASURE_EVERY_MS = 30000;
  const APART = 0.0001;           // two clocks drift apart by less than this share of the time

  const handlers = {};            // by kind of message; the link itself adds "connected", "lost" and "measured"
  const on = (kind, handler) => { handlers[kind] = handler; };
  const receive = (message) => handlers[message.kind]?.(message);

  // --- token: 128 random bits that stay with this tab through a reload ----------------------------------------

  const newToken = () =>
    Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");

  function stored(name, value) {
    try {
      if (value === undefined) return sessionStorage.getItem(name);
      if (value === null) sessionStorage.removeItem(name);
      else sessionStorage.setItem(name, value);
    } catch { /* storage is switched off, so the token lives as long as the page */ }
    return null;
  }

  // Resolves to true once this page alone holds the token, to false while another open page holds it.
  function hold(token) {
    if (!navigator.locks) return Promise.resolve(true);
    return new Promise((resolve) => {
      const giveUp = new AbortController();
      const [how] = performance.getEntriesByType("navigation");
      const timer = setTimeout(() => giveUp.abort(), how?.type === "reload" ? RELOAD_WAIT_MS : TOKEN_WAIT_MS);
      navigator.locks.request(`companion-page-${token}`, { signal: giveUp.signal }, () => {
        clearTimeout(timer);
        resolve(true);
        return new Promise(() => {});   // held until the page closes
      }).catch(() => resolve(false));
    });
  }

  // A duplicated tab starts with a copy of the storage. It takes a new token and also forgets the client's copied
  // session, so that token and session always belong together.
  async function settleToken() {
    const kept = stored("companion_page");
    if (/^[0-9a-f]{32}$/.test(kept ?? "") && await hold(kept)) return kept;
    stored("_flet_session_id", null);
    const fresh = newToken();
    stored("companion_page", fresh);
    await hold(fresh);
    return fresh;
  }

  const token = settleToken();

  // The client hands the token to its Python: to the server in the address of its socket, so the client must not start
  // earlier, and to a worker in its arguments.
  token.then((text) => { flet.webSocketEndpoint += `?page=${text}`; });
  const connect = globalThis.jsConnect;
  globalThis.jsConnect = async (id, args, listener) => connect(id, { ...args, page_token: await token }, listener);

  // --- messages -----------------------------------------------------------------------------------------------

  let post = () => {};            // sends one message, or drops it while there is no connection
  const tell = (message) => post(JSON.stringify(message));

  function openBroadcast(token) {
    const channel = new BroadcastChannel(`cues-${token}`);
    channel.onmessage = (event) => receive(JSON.parse(event.data));
    post = (text) => channel.postMessage(text);
    greeted();
  }

  function openSocket(token, attempt = 0) {
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    const socket = new WebSocket(`${scheme}://${location.host}/cues?page=${token}`);
    let opened = false;
    socket.onopen = () => {
      attempt = 0;
      opened = true;
      showAway("");
      post = (text) => { if (socket.readyState === WebSocket.OPEN) socket.send(text); };
      greeted();
    };
    socket.onmessage = (event) => receive(JSON.parse(event.data));
    socket.onclose = () => {
      post = () => {};
      receive({ kind: "lost" });
      if (!opened) whyAway().then(showAway);
      setTimeout(() => openSocket(token, attempt + 1), RETRY_MS[Math.min(attempt, RETRY_MS.length - 1)]);
    };
  }

  const STARTED_AGAIN = "The session companion was started again. Open the new address that it printed: this page then "
    + "goes on by itself.";
  const STOPPED = "The session companion on this computer has stopped. Start it again: what was saved is kept, and a "
    + "session in progress waits.";

  // A server that was started again knows this browser no more: the person has to open its new address.
  const whyAway = () => fetch("/cues.js", { method: "HEAD", cache: "no-store" })
    .then(({ status }) => status === 403 ? STARTED_AGAIN : "", () => STOPPED);

  function showAway(why) {
    const shown = document.getElementById("away");
    if (!why) return shown?.remove();
    const line = shown ?? document.createElement("div");
    line.id = "away";
    line.setAttribute("role", "alert");
    line.textContent = why;
    line.style.cssText = "position: fixed; inset: 0 0 auto; z-index: 9; padding: 1rem; background: #1A2226; "
      + "color: #F1EDE4; font: 1.125rem/1.5 system-ui, sans-serif;";
    if (!shown) document.body.append(line);
  }

  function greeted() {
    receive({ kind: "connected" });
    tellLink();
    measure();
  }
  on("greet", greeted);

  // --- a link that carries a plan in its fragment, which no browser sends to a server --------------------------

  const LINK_LIMIT = 8100;        // a longer one is cut, and Python says so

  // Takes the link out of the address before the client reads it as a route, and keeps it until Python has it.
  function takeLink(hash) {
    if (!/^#(plan|adjustment)=/.test(hash)) return;
    stored("companion_link", hash.slice(1, 1 + LINK_LIMIT));
    history.replaceState(history.state, "", location.pathname + location.search);
  }

  function tellLink() {
    const text = stored("companion_link");
    if (text) tell({ kind: "link", text });
  }
  takeLink(location.hash);
  addEventListener("hashchange", (event) => {   // by now the client may have put its own route back
    takeLink(new URL(event.newURL).hash);
    tellLink();
  });
  on("link_taken", () => stored("companion_link", null));

  // --- the distance between the two clocks --------------------------------------------------------------------

  let offset = null;              // clock time minus page time; null until Python has answered once
  let margin = Infinity;          // how exact the offset was when it was measured
  let measuredAt = 0;
  let pings = 0;
  let pingTimer = null;

  const unsure = () => margin + (performance.now() - measuredAt) * APART;

  // Sends a few pings, and more while Python is busy and answers late.
  function measure() {
    pings = 0;
    clearTimeout(pingTimer);
    ping();
  }

  function ping() {
    if (pings >= (unsure() <= GOOD_MARGIN_MS ? PINGS : PINGS_AT_MOST)) return;
    pings += 1;
    tell({ kind: "ping", page_ms: performance.now() });
    pingTimer = setTimeout(ping, pings < PINGS ? PING_GAP_MS : BUSY_GAP_MS);
  }
  setInterval(measure, MEASURE_EVERY_MS);

  // Python read its clock at some moment of the round trip, so the offset is within half a trip of the trip's middle. A
  // more exact answer is kept unless a later one proves it wrong, because the computer slept or Python started again.
  // Python rounds down to whole milliseconds, so half a millisecond is added, and the offset is that much less exact.
  on("pong", ({ page_ms, clock_ms }) => {
    const half = (performance.now() - page_ms) / 2;
    const middle = clock_ms + 0.5 - (page_ms + half);
    if (half >= unsure() && Math.abs(middle - offset) <= half + unsure() + 1) return;
    margin = half;
    offset = middle;
    measuredAt = performance.now();
    receive({ kind: "measured" });
  });

  const ready = token.then(flet.pyodide ? openBroadcast : openSocket);

  return { ready, on, tell, measure, measured: () => offset !== null, pageTime: (clockMs) => clockMs - offset };
})();

(() => {
  const TOO_LATE_MS = 300;        // a later cue says something that is no longer true
  const FINE_MS = 15;             // page timers are inexact, so the last milliseconds are waited for in small steps
  const COARSE_LIMIT_MS = 5000;   // check at least this often, in case the computer slept
  const SAME_CUE_MS = 60;         // two cues of a kind that are due this close are the same one
  const REMEMBER_MS = 10000;      // how long a fired cue is remembered
  const AUDIO_AHEAD_MS = 90000;   // tones are put on the audio clock early, as a hidden page may wake once a minute
  const AUDIO_STRAY_S = 0.005;    // a tone this far off on the audio clock is placed again; far ahead more is allowed
  const WORDS_HZ = 16000;         // the rate of the recorded words
  const UNDER_WORDS = 0.4;        // how loud a tone is while words are said over it
  const ALONE_LIMIT_MS = 15000;   // after this long without Python nobody runs the session any more

  const { on, tell, measure, measured, pageTime } = companionPage;
  const now = () => performance.now();
  const visible = () => document.visibilityState === "visible";

  // --- what this page can do ----------------------------------------------------------------------------------

  const keeper = globalThis.companionWindow;   // only in the offline build, whose records the browser keeps
  let aloneTimer = null;

  on("connected", () => {
    clearTimeout(aloneTimer);
    aloneTimer = null;
    tell({ kind: "hello", zone: Intl.DateTimeFormat().resolvedOptions().timeZone || "",
      languages: navigator.languages.filter(tag => /^[\w-]{1,35}$/.test(tag)).slice(0, 8),
      visible: visible(), capabilities: capabilities() });
  });
  on("lost", () => { aloneTimer ??= setTimeout(cancel, ALONE_LIMIT_MS); });

  function capabilities() {
    return { vibrate: "vibrate" in navigator, audio: audioState(), voice: voiceKind(),
      wake_lock: "wakeLock" in navigator, records: keeper?.records() ?? "elsewhere" };
  }

  const capabilitiesChanged = () => tell({ kind: "capabilities", capabilities: capabilities() });
  keeper?.answered.then(capabilitiesChanged);

  // --- the coming cues ----------------------------------------------------------------------------------------

  let pending = [];               // {cue, clock: when due, on Python's clock, nodes, sounded}, in order of time
  let fired = [];                 // the same, of the last seconds, so that a cue handed over again fires once
  const trial = { nodes: [] };    // the cue that is being tried out
  let reporting = false;
  let timer = null;
  let spinning = false;

  const due = (entry) => pageTime(entry.clock);
  const same = (a, b) => a.cue.kind === b.cue.kind && Math.abs(a.clock - b.clock) <= SAME_CUE_MS;

  on("schedule", ({ zero_ms, cues }) => {
    fireDue();   // a cue that is due now was meant, whatever the new schedule says
    const before = pending;
    pending = cues.map((cue) => ({ cue, clock: zero_ms + cue.at_ms, nodes: [], sounded: false }))
      .filter((entry) => !fired.some((other) => same(entry, other)));
    for (const entry of pending) {
      entry.sounded = before.some((other) => same(entry, other) && sounding(other));
    }
    before.forEach(silence);
    pending.sort((a, b) => a.clock - b.clock);
    arm();
    measure();
  });
  on("cancel", cancel);
  on("measured", arm);
  on("report", (message) => { reporting = message.on; });

  function cancel() {
    pending.forEach(silence);
    fired.forEach(hush);
    hush(trial);
    pending = [];
    if (vibratingUntil > now()) navigator.vibrate(0);
    vibratingUntil = 0;
    hushWords();
    arm();
  }

  function arm() {
    clearTimeout(timer);
    if (!measured() || !pending.length) return;
    layTones();
    const wait = due(pending[0]) - now();
    if (wait <= FINE_MS) spin();
    else timer = setTimeout(arm, Math.min(wait - FINE_MS, COARSE_LIMIT_MS));
  }

  // Message ports answer at once, where nested timeouts wait for 4 ms.
  const step = new MessageChannel();
  step.port1.onmessage = () => { spinning = false; tick(); };
  function spin() {
    if (spinning) return;
    spinning = true;
    step.port2.postMessage(null);
  }

  function fireDue() {
    while (measured() && pending.length && due(pending[0]) <= now()) fire(pending.shift());
  }

  function tick() {
    fireDue();
    if (pending.length && due(pending[0]) - now() <= FINE_MS) spin();
    else arm();
  }

  function fire(entry) {
    const late = now() - due(entry);
    const dropped = late > TOO_LATE_MS;
    const vibrated = !dropped && shake(entry.cue);
    if (dropped) silence(entry);
    else {
      layTone(entry);
      speak(entry.cue);
    }
    fired = fired.filter((other) => entry.clock - other.clock < REMEMBER_MS);
    fired.push(entry);
    if (reporting) {
      const { kind, at_ms } = entry.cue;
      tell({ kind: "fired", cue: kind, at_ms, late_ms: late, vibrated, dropped });
    }
  }

  on("play", ({ cue }) => {
    hush(trial);
    shake(cue);
    trial.nodes = soundTone(cue, now());
    speak(cue);
  });

  // --- vibration ----------------------------------------------------------------------------------------------

  let vibratingUntil = 0;

  function shake(cue) {
    if (!mix.haptic || !cue.pattern_ms.length || !navigator.vibrate) return false;
    vibratingUntil = now() + cue.pattern_ms.reduce((sum, part) => sum + part, 0);
    return navigator.vibrate(cue.pattern_ms);
  }

  // --- tones --------------------------------------------------------------------------------------------------

  let audio = null;
  let mix = { haptic: true, tone: true, voice: false, volume: 0.8, language: "en" };

  function audioState() {
    if (!window.AudioContext) return "none";
    return audio?.state === "running" ? "running" : "locked";
  }

  on("mix", (message) => {
    mix = message;
    document.documentElement.lang = mix.language;
    pending.forEach(silence);
    if (mix.voice && voiceKind() !== "device" && mix.language === "en") bringWords();
    arm();
  });

  // The browser allows sound from the first tap or key on, and a phone call may end that. The same tap allows vibration
  // without a call of ours.
  let voiceUnlocked = false;
  function unlock() {
    if (!voiceUnlocked && window.speechSynthesis) speechSynthesis.speak(new SpeechSynthesisUtterance(""));
    voiceUnlocked = true;
    if (!window.AudioContext || audio?.state === "running") return;
    if (!audio) {
      audio = new AudioContext({ latencyHint: "interactive" });
      audio.onstatechange = () => {
        pending.forEach(silence);
        capabilitiesChanged();
        arm();
      };
    }
    audio.resume().catch(() => {});
  }
  for (const gesture of ["pointerdown", "pointerup", "keydown", "touchend"]) {
    addEventListener(gesture, unlock, { capture: true, passive: true });
  }

  function layTones() {
    const near = pending.filter((entry) => due(entry) - now() <= AUDIO_AHEAD_MS);
    const heard = heardNow();
    // All are placed again where one has strayed, so that they keep their distances.
    if (near.some((entry) => strayed(entry, heard))) near.forEach(silence);
    for (const entry of near) layTone(entry, heard);
  }

  function layTone(entry, heard = heardNow()) {
    if (entry.sounded || now() - due(entry) > TOO_LATE_MS || audioState() !== "running") return;
    entry.nodes = soundTone(entry.cue, due(entry), heard);
    entry.sounded = true;
  }

  // What is heard at which page time: the stamp includes the latency of the output.
  function heardNow() {
    const stamp = audio?.getOutputTimestamp?.();
    if (stamp?.contextTime > 0 && Math.abs(now() - stamp.performanceTime) < 1000) {
      return { audioS: stamp.contextTime, pageMs: stamp.performanceTime };
    }
    const latencyS = audio?.outputLatency || audio?.baseLatency || 0;
    return { audioS: (audio?.currentTime ?? 0) - latencyS, pageMs: now() };
  }

  // When something must start on the audio clock to be heard at a page time.
  const audioTime = (pageMs, heard) => heard.audioS + (pageMs - heard.pageMs) / 1000;

  function soundTone(cue, dueMs, heard = heardNow()) {
    if (!mix.tone || mix.volume <= 0 || audioState() !== "running") return [];
    const zero = Math.max(audio.currentTime, audioTime(dueMs, heard));
    const loudness = mix.volume * (mix.voice && cue.words && voiceKind() !== "none" ? UNDER_WORDS : 1);
    return cue.tone.map(
      ({ start_ms, length_ms, hz }) => note(zero + start_ms / 1000, length_ms / 1000, hz, loudness));
  }

  function note(start, length, hz, loudness) {
    const oscillator = new OscillatorNode(audio, { type: "triangle", frequency: hz });
    const gain = new GainNode(audio, { gain: 0 });
    gain.gain.setValueAtTime(0, start);
    gain.gain.linearRampToValueAtTime(loudness, start + Math.min(0.005, length / 4));   // no click
    gain.gain.setValueAtTime(loudness, start + length * 0.75);
    gain.gain.linearRampToValueAtTime(0, start + length);
    oscillator.connect(gain).connect(audio.destination);
    oscillator.start(start);
    oscillator.stop(start + length);
    return { oscillator, start };
  }

  // The audio clock stops while a computer sleeps, so what was put on it before would come late.
  function strayed(entry, heard) {
    if (!entry.nodes.length) return false;
    const expected = audioTime(due(entry), heard) + entry.cue.tone[0].start_ms / 1000;
    const aheadS = (due(entry) - now()) / 1000;
    return Math.abs(entry.nodes[0].start - expected) > Math.max(AUDIO_STRAY_S, aheadS / 1000);
  }

  const sounding = (entry) => entry.nodes.some((one) => one.start <= audio.currentTime);

  // Takes back a tone that has not begun. One that sounds already is left to its end.
  function silence(entry) {
    if (!entry.nodes.length || sounding(entry)) return;
    hush(entry);
    entry.sounded = false;
  }

  function hush(entry) {
    entry.nodes.forEach((one) => { one.oscillator.stop(); one.oscillator.disconnect(); });
    entry.nodes = [];
  }

  // --- voice: one on the device, in the language of the words; else recorded words, which are English ----------

  function voices() {
    if (!window.speechSynthesis) return [];
    return speechSynthesis.getVoices().filter(
      (voice) => voice.localService && voice.lang.toLowerCase().startsWith(mix.language));
  }

  function voiceKind() {
    if (voices().length) return "device";
    return window.AudioContext && !wordsMissing && mix.language === "en" ? "prepared" : "none";
  }

  function speak(cue) {
    if (!mix.voice || !cue.words) return;
    hushWords();
    const voice = voices().find((one) => one.default) ?? voices()[0];
    if (!voice) return mix.language === "en" ? sayPrepared(cue.words) : undefined;
    const utterance = new SpeechSynthesisUtterance(cue.words);
    utterance.voice = voice;
    utterance.lang = voice.lang;
    utterance.volume = mix.volume;
    speechSynthesis.speak(utterance);
  }

  function hushWords() {
    if (window.speechSynthesis) speechSynthesis.cancel();
    said.forEach((one) => one.stop());
    said = [];
  }

  window.speechSynthesis?.addEventListener?.("voiceschanged", capabilitiesChanged);

  // One sound holds every piece, and a list says where each lies. build/voice.py makes both (companion/assets/voice/).
  let words = null;               // {places: {piece: [from, to] in ms}, sound}
  let bringing = null;
  let wordsMissing = false;
  let said = [];

  function bringWords() {
    bringing ??= fetchWords().then((found) => { words = found; wordsMissing = false; }, () => {
      bringing = null;            // tried again with the next mix
      wordsMissing = true;
    }).then(capabilitiesChanged);
  }

  async function fetchWords() {
    const [list, packed] = await Promise.all(["words.json", "words.opus"].map((name) => fetch(`voice/${name}`)));
    if (!list.ok || !packed.ok) throw new Error("the prepared words are not there");
    const ear = new OfflineAudioContext(1, 1, WORDS_HZ);   // decodes at this rate, which keeps the sound small
    return { places: await list.json(), sound: await ear.decodeAudioData(await packed.arrayBuffer()) };
  }

  // "122.5 kilograms each" is put together from "1", "hundred", "20", "2", "point", "5", "kilograms", "each".
  function spelled(piece) {
    const load = /^(\d{1,3})(?:\.(\d+))? (kilograms?|pounds?)( each)?$/.exec(piece);
    if (!load) return [piece];
    const [, whole, fraction, unit, each] = load;
    const hundreds = Math.floor(whole / 100), rest = whole % 100, ones = rest > 20 ? rest % 10 : 0;
    const numbers = [...(hundreds ? [hundreds, "hundred"] : []), rest - ones, ones].filter((one) => one !== 0);
    const number = numbers.length ? numbers.map(String) : ["0"];
    return [...number, ...(fraction ? ["point", ...fraction] : []), unit, ...(each ? ["each"] : [])];
  }

  // Plays the known pieces one after the other. A name that a coach made up is not among them.
  function sayPrepared(text) {
    if (!words || mix.volume <= 0 || audioState() !== "running") return;
    const whole = text.replace(/\.$/, "");
    const known = (whole in words.places ? [whole] : whole.split(/[.,:] /).flatMap(spelled))
      .filter((piece) => piece in words.places);
    if (known.at(-1) === "Next") known.pop();
    const gain = new GainNode(audio, { gain: mix.volume });
    gain.connect(audio.destination);
    let start = audio.currentTime;
    for (const [from, to] of known.map((piece) => words.places[piece])) {
      const piece = new AudioBufferSourceNode(audio, { buffer: words.sound });
      piece.connect(gain);
      piece.start(start, from / 1000, (to - from) / 1000);
      said.push(piece);
      start += (to - from) / 1000;
    }
  }

  // --- the screen stays on ------------------------------------------------------------------------------------

  let awake = false;
  let lock = null;

  async function setAwake(on) {
    awake = on;
    if (!on) {
      lock?.release();
      lock = null;
      return;
    }
    if (lock || !visible() || !navigator.wakeLock) return;
    try {
      const taken = await navigator.wakeLock.request("screen");
      if (!awake || lock) return taken.release();
      lock = taken;
      taken.addEventListener("release", () => {
        if (lock === taken) lock = null;
        tell({ kind: "wake_lock", held: false });
      });
      tell({ kind: "wake_lock", held: true });
    } catch {
      tell({ kind: "wake_lock", held: false });   // refused for a low battery, or by the browser's own rules
    }
  }

  on("awake", (message) => setAwake(message.on));
  companionPage.inSession = () => awake;

  document.addEventListener("visibilitychange", () => {
    tell({ kind: "visibility", visible: visible() });
    if (!visible()) return;
    measure();
    setAwake(awake);
    if (audio && audio.state !== "running") unlock();
    arm();
  });
})();

// The page side of the cues. Python hands over the coming cues ahead of time; this script fires them on the page's
// own timers: vibration, tones on the audio clock, words by a voice of the device or prepared. It paints nothing. Its
// first part is the page's link to its Python: a token that tells this page from every other, the messages both ways, and the
// distance between the two clocks.
//
// Messages are described in companion/services/page_messages.py. All times are milliseconds; page times are
// performance.now(), clock times Python's monotonic clock. Loaded after python.js and before the client starts.
"use strict";

var companionPage = (() => {
  const TOKEN_WAIT_MS = 500;      // a reloading page lets go of its token well within this
  const RETRY_MS = [100, 250, 500, 1000, 2000];
  const PINGS = 5;
  const PINGS_AT_MOST = 40;
  const PING_GAP_MS = 40;
  const BUSY_GAP_MS = 200;
  const GOOD_MARGIN_MS = 1;
  const MEASURE_EVERY_MS = 30000;
  const APART = 0.0001;           // two clocks go apart by less than this share of the time

  const handlers = {};            // by kind of message; "connected" and "lost" are the link's own
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
    } catch { /* storage is switched off: the token then lives as long as the page */ }
    return null;
  }

  // Resolves to true once this page alone holds the token, to false when another living page holds it.
  function hold(token) {
    if (!navigator.locks) return Promise.resolve(true);
    return new Promise((resolve) => {
      const giveUp = new AbortController();
      const timer = setTimeout(() => giveUp.abort(), TOKEN_WAIT_MS);
      navigator.locks.request(`companion-page-${token}`, { signal: giveUp.signal }, () => {
        clearTimeout(timer);
        resolve(true);
        return new Promise(() => {});   // held until the page goes
      }).catch(() => resolve(false));
    });
  }

  // A duplicated tab starts with a copy of the storage: it takes a new token, and forgets the copied session of the
  // client too, so that a token and a session always belong together.
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

  // The client hands the token to its Python: to the server in the address of its socket, so it must not start
  // before; to a worker among its arguments.
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
    socket.onopen = () => {
      attempt = 0;
      post = (text) => { if (socket.readyState === WebSocket.OPEN) socket.send(text); };
      greeted();
    };
    socket.onmessage = (event) => receive(JSON.parse(event.data));
    socket.onclose = () => {
      post = () => {};
      receive({ kind: "lost" });
      setTimeout(() => openSocket(token, attempt + 1), RETRY_MS[Math.min(attempt, RETRY_MS.length - 1)]);
    };
  }

  function greeted() {
    receive({ kind: "connected" });
    tellLink();
    measure();
  }
  on("greet", greeted);

  // --- a link that carries a plan: in the fragment, which no browser sends to a server -------------------------

  const LINK_LIMIT = 8100;        // longer ones are cut, and Python says so

  // Taken out of the address before the client reads it as a place to go to; kept until Python has it.
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
  addEventListener("hashchange", (event) => {   // the client may have put its own place back by now
    takeLink(new URL(event.newURL).hash);
    tellLink();
  });
  on("link_taken", () => stored("companion_link", null));

  // --- the distance between the two clocks --------------------------------------------------------------------

  let offset = null;              // clock time minus page time; null until Python has answered once
  let margin = Infinity;          // the offset was right to within this when it was measured
  let measuredAt = 0;
  let pings = 0;
  let pingTimer = null;

  const unsure = () => margin + (performance.now() - measuredAt) * APART;

  // A few pings, and more while Python is busy and answers late.
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

  // Python's time was read at some moment of the round trip: the offset lies within half a trip of its middle. A
  // narrower answer is kept, unless a later one proves it wrong (the computer slept, or Python was started again).
  // Python tells whole milliseconds begun: half of one is added, and the offset is that much less sure.
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
  const TOO_LATE_MS = 300;        // later than this a cue says something that is no longer true
  const FINE_MS = 15;             // page timers are rough: the last stretch is waited for in small steps
  const COARSE_LIMIT_MS = 5000;   // look again at least this often, in case the computer slept
  const SAME_CUE_MS = 60;         // a cue handed over again is the same one when it is due this close
  const REMEMBER_MS = 10000;      // how long a fired cue is known
  const AUDIO_AHEAD_MS = 90000;   // tones sit on the audio clock early: a hidden page may wake once a minute
  const AUDIO_STRAY_S = 0.005;    // a tone this far from its place on the audio clock is laid again, a far one later
  const WORDS_HZ = 16000;         // the prepared words as they were spoken
  const UNDER_WORDS = 0.4;        // a tone is that much softer where words are said over it
  const ALONE_LIMIT_MS = 15000;   // without Python for this long nobody counts the session any more

  const { on, tell, measure, measured, pageTime } = companionPage;
  const now = () => performance.now();
  const visible = () => document.visibilityState === "visible";

  // --- what this page can do ----------------------------------------------------------------------------------

  let aloneTimer = null;

  on("connected", () => {
    clearTimeout(aloneTimer);
    aloneTimer = null;
    tell({ kind: "hello", zone: Intl.DateTimeFormat().resolvedOptions().timeZone || "", visible: visible(),
      capabilities: capabilities() });
  });
  on("lost", () => { aloneTimer ??= setTimeout(cancel, ALONE_LIMIT_MS); });

  function capabilities() {
    return { vibrate: "vibrate" in navigator, audio: audioState(), voice: voiceKind(),
      wake_lock: "wakeLock" in navigator };
  }

  const capabilitiesChanged = () => tell({ kind: "capabilities", capabilities: capabilities() });

  // --- the coming cues ----------------------------------------------------------------------------------------

  let pending = [];               // {cue, clock: due on Python's clock, nodes, sounded}, in order of time
  let fired = [];                 // the same, of the last seconds: so that a cue handed over again fires once
  const trial = { nodes: [] };    // the cue that is being tried out
  let reporting = false;
  let timer = null;
  let spinning = false;

  const due = (entry) => pageTime(entry.clock);
  const same = (a, b) => a.cue.kind === b.cue.kind && Math.abs(a.clock - b.clock) <= SAME_CUE_MS;

  on("schedule", ({ zero_ms, cues }) => {
    fireDue();   // what is due this moment was meant, whatever comes next
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

  // Message ports come back at once, where nested timeouts are held for 4 ms.
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
  let mix = { haptic: true, tone: true, voice: false, volume: 0.8 };

  function audioState() {
    if (!window.AudioContext) return "none";
    return audio?.state === "running" ? "running" : "locked";
  }

  on("mix", (message) => {
    mix = message;
    pending.forEach(silence);
    if (mix.voice && voiceKind() !== "device") bringWords();
    arm();
  });

  // Sound is allowed from the first tap or key on; a phone call may take it away again. Vibration is allowed by the
  // same tap without a call of ours.
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
    for (const entry of pending) {
      if (due(entry) - now() > AUDIO_AHEAD_MS) break;
      if (strayed(entry)) silence(entry);
      layTone(entry);
    }
  }

  function layTone(entry) {
    if (entry.sounded || now() - due(entry) > TOO_LATE_MS || audioState() !== "running") return;
    entry.nodes = soundTone(entry.cue, due(entry));
    entry.sounded = true;
  }

  // The audio clock's time at which something must start to be heard at a time of the page: the stamp tells what is
  // heard now, with the latency of the output in it.
  function audioTime(pageMs) {
    const stamp = audio.getOutputTimestamp?.();
    if (stamp?.contextTime > 0 && Math.abs(now() - stamp.performanceTime) < 1000) {
      return stamp.contextTime + (pageMs - stamp.performanceTime) / 1000;
    }
    return audio.currentTime + (pageMs - now()) / 1000 - (audio.outputLatency || audio.baseLatency || 0);
  }

  function soundTone(cue, dueMs) {
    if (!mix.tone || mix.volume <= 0 || audioState() !== "running") return [];
    const zero = Math.max(audio.currentTime, audioTime(dueMs));
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

  // The audio clock stands still while a computer sleeps: what was laid on it would then come late.
  function strayed(entry) {
    if (!entry.nodes.length) return false;
    const expected = audioTime(due(entry)) + entry.cue.tone[0].start_ms / 1000;
    const aheadS = (due(entry) - now()) / 1000;
    return Math.abs(entry.nodes[0].start - expected) > Math.max(AUDIO_STRAY_S, aheadS / 1000);
  }

  const sounding = (entry) => entry.nodes.some((one) => one.start <= audio.currentTime);

  // Takes back a tone that has not begun; one that sounds already is left to end.
  function silence(entry) {
    if (!entry.nodes.length || sounding(entry)) return;
    hush(entry);
    entry.sounded = false;
  }

  function hush(entry) {
    entry.nodes.forEach((one) => { one.oscillator.stop(); one.oscillator.disconnect(); });
    entry.nodes = [];
  }

  // --- voice: one that lives on the device, in the language of the page; else words that were prepared ----------

  // Read before the client starts: it puts the language of the browser in its place, and the words are ours.
  const language = document.documentElement.lang || "en";

  function voices() {
    if (!window.speechSynthesis) return [];
    return speechSynthesis.getVoices().filter(
      (voice) => voice.localService && voice.lang.toLowerCase().startsWith(language));
  }

  function voiceKind() {
    if (voices().length) return "device";
    return window.AudioContext && !wordsMissing ? "prepared" : "none";
  }

  function speak(cue) {
    if (!mix.voice || !cue.words) return;
    hushWords();
    const voice = voices().find((one) => one.default) ?? voices()[0];
    if (!voice) return sayPrepared(cue.words);
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

  // One sound holds every piece, and a list says where: companion/assets/voice/, made by build/voice.py.
  let words = null;               // {places: {piece: [from, to] in ms}, sound}
  let bringing = null;
  let wordsMissing = false;
  let said = [];

  function bringWords() {
    bringing ??= fetchWords().then((found) => { words = found; wordsMissing = false; }, () => {
      bringing = null;            // asked for again with the next mix
      wordsMissing = true;
    }).then(capabilitiesChanged);
  }

  async function fetchWords() {
    const [list, packed] = await Promise.all(["words.json", "words.opus"].map((name) => fetch(`voice/${name}`)));
    if (!list.ok || !packed.ok) throw new Error("the prepared words are not there");
    const ear = new OfflineAudioContext(1, 1, WORDS_HZ);   // unpacks at this rate, which keeps the sound small
    return { places: await list.json(), sound: await ear.decodeAudioData(await packed.arrayBuffer()) };
  }

  // The pieces that are known, one after the other: a name that a coach made up is not among them.
  function sayPrepared(text) {
    if (!words || mix.volume <= 0 || audioState() !== "running") return;
    const whole = text.replace(/\.$/, "");
    const known = (whole in words.places ? [whole] : whole.split(/[.,:] /)).filter((piece) => piece in words.places);
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
      tell({ kind: "wake_lock", held: false });   // refused: low battery, or the browser's own rules
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

// The page's part in keeping the application on the device: it starts the service worker, shows its progress, announces
// a new version, and saves a copy of the records where the browser refuses to keep more.
"use strict";

var companionWindow = (() => {
  const CONTROL_WAIT_MS = 3000;   // after this the page starts without the service worker
  const READY_MS = 6000;          // how long the good news covers the application's title
  const ADVICE_MS = 12000;        // how long advice does
  const ANSWER_MS = 2000;         // how long the good news waits for the browser's answer, which may be a person's
  const worker = navigator.serviceWorker;
  const starting = document.querySelector("#starting .word");
  const word = document.getElementById("word");

  // --- a browser that keeps nothing -----------------------------------------------------------------------------

  // It throws as soon as a page mentions its storage, as the client does. This stand-in lasts until the window closes.
  function inMemory() {
    const held = new Map();
    return {
      get length() { return held.size; },
      key: (place) => [...held.keys()][place] ?? null,
      getItem: (name) => held.get(name) ?? null,
      setItem: (name, text) => { held.set(name, String(text)); },
      removeItem: (name) => { held.delete(name); },
      clear: () => held.clear(),
    };
  }

  for (const name of ["sessionStorage", "localStorage"]) {
    try {
      window[name].length;
    } catch {
      Object.defineProperty(window, name, { value: inMemory() });
    }
  }

  // --- words ----------------------------------------------------------------------------------------------------

  let urgent = false;             // an urgent message is replaced only by an urgent one

  function say(text, buttons = {}, isUrgent = false) {
    if (urgent && !isUrgent) return null;
    urgent = isUrgent;
    const line = document.createElement("span");
    line.textContent = text;
    const made = Object.entries(buttons).map(([label, act]) => {
      const button = document.createElement("button");
      button.textContent = label;
      button.onclick = () => { hush(); act(); };
      return button;
    });
    word.replaceChildren(line, ...made);
    word.hidden = false;
    return line;
  }

  function hush() {
    urgent = false;
    word.hidden = true;
  }

  // Waits until the application can be seen, then READY_MS more.
  function hushLater(line, afterMs = READY_MS) {
    const begun = document.getElementById("starting");
    setTimeout(() => begun ? hushLater(line, afterMs) : word.contains(line) && hush(), begun ? 500 : afterMs);
  }

  // --- the service worker ---------------------------------------------------------------------------------------

  let isControlled;
  const controlled = new Promise((resolve) => {
    isControlled = resolve;
    if (!worker || worker.controller) {
      if (history.state?.loadedTwice) history.replaceState({ ...history.state, loadedTwice: false }, "");
      return resolve();
    }
    goThroughWorker(resolve);
  });

  // A reload that passes over caches passes over the service worker too: the host's page would run beside the version
  // served, and might change the records to a newer shape while a session of the older version waits. So the page is
  // loaded once more, as usual.
  async function goThroughWorker(resolve) {
    const registered = await worker.getRegistration().catch(() => null);
    if (registered?.active && !history.state?.loadedTwice) {
      history.replaceState({ ...history.state, loadedTwice: true }, "");
      return location.reload();
    }
    if (worker.controller) return resolve();
    worker.addEventListener("controllerchange", () => resolve(), { once: true });
    setTimeout(resolve, CONTROL_WAIT_MS);
  }

  async function start() {
    if (!worker) return cannotKeep();
    worker.addEventListener("message", ({ data }) => heard[data.kind]?.(data));
    // A host that compares only times may call a broken script current that the browser still has.
    const register = () => worker.register("sw.js", { updateViaCache: "none" });
    try {
      await register().catch(() => fetch("sw.js", { cache: "reload" }).then(register));
    } catch {
      return cannotKeep();
    }
    await controlled;
    worker.controller?.postMessage({ kind: "keep" });
    sayItWorks();
    askToKeep();
  }

  // --- how long the browser keeps the records -------------------------------------------------------------------

  const FOR_GOOD = "This browser keeps your records until you remove them.";
  const NOT_FOR_GOOD = "This browser may clear your records when it runs out of room: save a backup now and then.";
  const SEVEN_DAYS = "Safari clears your records after seven days without a visit: save a backup now and then.";
  const SAID = { for_good: FOR_GOOD, while_room: NOT_FOR_GOOD, seven_days: SEVEN_DAYS };   // the application says the rest

  let records = "unsaid";         // the capability of that name (companion/services/page_messages.py)
  let isAnswered;
  const answered = new Promise((resolve) => { isAnswered = resolve; });

  // Asks the browser to keep the records for good. It may decide by itself, or ask the person.
  async function askToKeep() {
    const asked = navigator.storage?.persist?.() ?? Promise.resolve(false);
    records = await asked.catch(() => false) ? "for_good" : atRisk();
    isAnswered();
  }

  // Apple's browsers delete what a page keeps after seven days of use without a visit to it, unless it is on the Home
  // Screen (webkit.org, “Full Third-Party Cookie Blocking and More”, 24 March 2020; from memory). The same engine names
  // the same vendor on other systems. An iPad may call itself a Mac, but no Mac has a screen to touch.
  function atRisk() {
    const apple = navigator.vendor.startsWith("Apple") && /^(Mac|iP)/.test(navigator.platform);
    const installed = matchMedia("(display-mode: standalone)").matches || navigator.standalone;
    if (!apple || installed) return "while_room";
    return navigator.maxTouchPoints > 1 ? "home_screen" : "seven_days";
  }

  // Said once, when everything has come for the first time.
  async function sayReady() {
    const late = new Promise((resolve) => { setTimeout(resolve, ANSWER_MS); });
    await Promise.race([answered, late]);
    const line = say(["Ready without network.", SAID[records]].filter(Boolean).join(" "));
    if (line) hushLater(line, records in SAID && records !== "for_good" ? ADVICE_MS : READY_MS);
  }

  let tooOld = false;             // a newer version kept the records, so that this one can go on with no session

  // Tells the worker once the application can be seen: a version that never came so far may be replaced at any time.
  function sayItWorks() {
    const works = document.documentElement.dataset.python && !document.getElementById("starting");
    if (!works) setTimeout(sayItWorks, 500);
    else if (!tooOld) worker.controller?.postMessage({ kind: "works" });
  }

  function cannotKeep() {
    isControlled();
    say("This browser cannot keep the page: it needs the network each time.", { "All right": () => {} });
  }

  let isWhole;
  const whole = new Promise((resolve) => { isWhole = resolve; });
  let first = false;              // whether this visit is the one that fetches everything

  const heard = {
    progress({ done, total, first: brought }) {
      if (!brought) return;
      first = true;
      starting.textContent = `Keeping everything on this device: ${Math.floor(100 * done / total)} %`;
    },
    kept({ waiting }) {
      document.documentElement.dataset.kept = "whole";
      isWhole();
      starting.textContent = "Ready without network.";
      if (waiting) announce();
      else if (first) sayReady();
      first = false;
    },
    take({ taken }) {
      if (taken === "taken") location.reload();
      else if (taken === "a session runs") say("The new version is taken once the session is over.", { "All right": () => {} });
      else say("Close the other windows of this page first.", { "Try again": take, "Later": () => {} });
    },
  };

  const take = () => worker.controller.postMessage({ kind: "take" });
  const announce = () => say("A new version is ready.", { "Use it now": take, "Later": () => {} });

  // --- what is kept ---------------------------------------------------------------------------------------------

  function listen(token) {
    const channel = new BroadcastChannel(`window-${token}`);
    channel.onmessage = ({ data }) => {
      const message = JSON.parse(data);
      if (message.kind === "problem") {
        const copy = () => channel.postMessage('{"kind":"copy"}');
        say(message.text, { "Save a copy": copy, "Close": () => {} }, true);
      } else if (message.kind === "copy") save(message.text);
      else if (message.kind === "too_old") {
        tooOld = true;
        worker?.controller?.postMessage({ kind: "works not" });
      }
    };
  }

  function save(text) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = `session-companion-${new Date().toISOString().slice(0, 10)}.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }

  start();
  return { controlled, whole, listen, answered, records: () => records };
})();

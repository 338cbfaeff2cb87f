// Runs the script of the cues in a world whose time is a number: an hour passes in a second, and a page or a Python
// that stalls does so at the same moments each time. Times are true milliseconds since the page was opened; Python's
// clock counts from elsewhere and a little faster.
//
// virtualPage({ source, deliveries, pageStalls, pythonStalls, clock, until, seed }) -> what the page told of its cues
"use strict";

async function virtualPage({ source, deliveries, pageStalls, pythonStalls, clock, until, seed }) {
  let now = 0;
  let order = 0;
  let zeroMs = null;
  const events = [];
  const fired = [];

  const chance = () => {          // the same numbers each time (Park and Miller, 1988)
    seed = seed * 48271 % 2147483647;
    return seed / 2147483647;
  };
  const pythonClock = (at) => Math.floor(clock.zero + at * clock.rate);
  const after = (stalls, at) => stalls.reduce((free, [from, to]) => free >= from && free < to ? to : free, at);
  const way = () => 0.2 + 1.5 * chance();   // of one message between page and Python

  function at(time, run) {
    const event = { time, order: order++, run };
    events.push(event);
    return event;
  }

  // --- what the script finds around it ---

  const timers = new Map();
  const timer = (run, wait = 0) => {
    const id = order + 1;
    timers.set(id, at(now + Math.max(1, wait) + 2 * chance(), run));
    return id;
  };
  const untimer = (id) => { if (timers.has(id)) timers.get(id).run = () => {}; };
  const every = (run, wait) => timer(() => { run(); every(run, wait); }, wait);

  class Channel {
    constructor() {
      const port1 = {};
      this.port1 = port1;
      this.port2 = { postMessage: () => at(now + 0.05, () => port1.onmessage()) };
    }
  }

  let receive = null;
  class Broadcast {
    set onmessage(handler) { receive = (text) => handler({ data: text }); }
    postMessage(text) {
      const message = JSON.parse(text);
      if (message.kind === "fired") fired.push({ ...message, clock_ms: clock.zero + now * clock.rate, zero_ms: zeroMs });
      if (message.kind !== "ping") return;
      const heard = after(pythonStalls, now + way());
      const pong = { kind: "pong", page_ms: message.page_ms, clock_ms: pythonClock(heard) };
      at(heard + way(), () => receive(JSON.stringify(pong)));
    }
  }

  const around = {
    performance: { now: () => now }, setTimeout: timer, clearTimeout: untimer, setInterval: every,
    MessageChannel: Channel, BroadcastChannel: Broadcast, navigator: { vibrate: () => true },
    window: {}, flet: { pyodide: true, webSocketEndpoint: "/ws" }, addEventListener: () => {},
  };
  new Function(...Object.keys(around), source)(...Object.values(around));
  await new Promise((resolve) => setTimeout(resolve));   // its token is made in promises

  for (const [time, text] of deliveries) {
    at(time + way(), () => {
      const message = JSON.parse(text);
      if (message.kind === "schedule") zeroMs = message.zero_ms;
      receive(text);
    });
  }

  // --- time ---

  while (events.length) {
    events.sort((a, b) => b.time - a.time || b.order - a.order);
    const event = events.pop();
    now = after(pageStalls, Math.max(now, event.time));
    if (now > until) break;
    event.run();
  }
  return fired;
}

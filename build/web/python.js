// Connects the client with its Python, by the names that the client calls. Python starts with the page, beside the
// client, and waits for it if it is ready first.
"use strict";

(() => {
  const LEAST_GB = 2;             // memory a device needs to run a second Python for a moment. † Our judgement.
  const REMEMBER_AFTER_MS = 2000;
  const running = new Map();      // the worker of each application, by the client's name for it
  const started = () => new Worker("python-worker.js", { type: "module" });

  // What is kept is of the version that the service worker serves. A page that it does not serve may be of another.
  const isServed = () => Boolean(navigator.serviceWorker?.controller);

  function begin() {
    const worker = started();
    worker.postMessage({ kind: "begin", address: document.URL, mayRemember: isServed() });
    return worker;
  }

  let begun = companionWindow.controlled.then(begin);

  globalThis.jsConnect = async (id, args, onMessage) => {
    const worker = await (begun ?? begin());
    begun = null;
    running.set(id, worker);
    companionWindow.listen(args.page_token);
    await new Promise((resolve, reject) => {
      worker.onerror = (event) => reject(new Error(event.message));
      worker.onmessage = ({ data }) => {
        if (data instanceof Uint8Array) onMessage(data);
        else if (data.kind === "connected") {
          document.documentElement.dataset.python = data.fromMemory ? "from memory" : "anew";
          if (!data.fromMemory) companionWindow.whole.then(() => setTimeout(remember, REMEMBER_AFTER_MS));
          resolve();
        }
        else reject(new Error(data.fault));
      };
      worker.postMessage({ kind: "connect", args });
    }).catch((fault) => { jsDisconnect(id); throw fault; });
  };

  // Starts another Python, whose memory is kept for the next start. Only one window does it, and none during a session.
  function remember() {
    if (!isServed() || (navigator.deviceMemory ?? LEAST_GB) < LEAST_GB) return;
    if (companionPage.inSession()) return void setTimeout(remember, REMEMBER_AFTER_MS);
    navigator.locks?.request(`session-companion-memory ${new URL(".", document.baseURI).pathname}`, { ifAvailable: true }, (lock) => lock && new Promise((done) => {
      const worker = started();
      worker.onerror = done;
      worker.onmessage = done;
      worker.postMessage({ kind: "remember" });
    }));
  }

  // Transfers the buffer instead of copying it, as the client does not use it again.
  globalThis.jsSend = async (id, data) => { running.get(id)?.postMessage(data, [data.buffer]); };

  globalThis.jsDisconnect = async (id) => {
    running.get(id)?.terminate();
    running.delete(id);
  };
})();

// The way between the client and its Python, by the names that the client calls. Python begins to start as soon as the
// page does, beside the client, and waits for it where it is ready first.
"use strict";

(() => {
  const running = new Map();      // by the client's name for it: the worker

  function begin() {
    const worker = new Worker("python-worker.js", { type: "module" });
    worker.postMessage({ kind: "begin", address: document.URL });
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
        else if (data.kind === "connected") resolve();
        else reject(new Error(data.fault));
      };
      worker.postMessage({ kind: "connect", args });
    }).catch((fault) => { jsDisconnect(id); throw fault; });
  };

  // The buffer goes over instead of a copy: the client does not use it again.
  globalThis.jsSend = async (id, data) => { running.get(id)?.postMessage(data, [data.buffer]); };

  globalThis.jsDisconnect = async (id) => {
    running.get(id)?.terminate();
    running.delete(id);
  };
})();

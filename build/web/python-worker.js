// The worker in which Python runs. It starts Python and imports the application at once, while the client starts, which
// takes about as long. On request it only makes the memory of a started Python, and ends.
import { forget, remembered, trying } from "./python-memory.js";
import { remember, startAnew, startFromMemory } from "./python-start.js";

const bridge = { args: {} };      // Flet's Python imports it as flet_js
let ready = null;
let fromMemory = false;

async function begin({ address, mayRemember }) {
  bridge.documentUrl = address;
  const memory = mayRemember ? await remembered().catch(() => null) : null;
  if (memory) {
    try {
      const python = await startFromMemory(bridge, memory);
      fromMemory = true;
      return python;
    } catch (fault) {
      console.info(`Python starts anew: ${fault}`);
      await forget();
    }
  }
  return startAnew(bridge);
}

const toPage = (message) => {
  const bytes = message.toJs();
  self.postMessage(bytes, [bytes.buffer]);
};
bridge.receive_callback = toPage;

async function connect(args) {
  await ready;
  Object.assign(bridge.args, args);
  await bridge.start_connection(toPage);
  self.postMessage({ kind: "connected", fromMemory });
  if (fromMemory) await trying(false);
}

self.onmessage = ({ data }) => {
  if (data instanceof Uint8Array) return bridge.send(data);
  if (data.kind === "begin") {
    ready = begin(data);
    ready.catch(() => {});        // whoever connects gets the fault
  } else if (data.kind === "remember") {
    remember(bridge).catch((fault) => console.info(`Python's memory is not kept: ${fault}`)).finally(() => {
      self.postMessage({ kind: "remembered" });
      self.close();
    });
  } else connect(data.args).catch((fault) => self.postMessage({ fault: String(fault) }));
};

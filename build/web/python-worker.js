// The worker in which Python runs. It starts Python and brings in the application at once; the client's own start,
// which takes about as long, goes on beside it.
import { loadPyodide } from "./pyodide/pyodide.mjs";

const say = (text) => console.info(text);
const bridge = {};                // what flet's Python side finds as the module flet_js
let ready = null;

async function begin(address) {
  const archive = fetch("@archive@").then((reply) => {
    if (!reply.ok) throw new Error(`@archive@: ${reply.status}`);
    return reply.arrayBuffer();
  });
  const python = await loadPyodide({ stdout: say, stderr: say });
  bridge.documentUrl = address;
  bridge.args = {};
  python.registerJsModule("flet_js", bridge);
  python.unpackArchive(await archive, "tar");
  await python.runPythonAsync(`
import sys
sys.path.insert(0, "__pypackages__")
import main
`);
  return python;
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
  self.postMessage({ kind: "connected" });
}

self.onmessage = ({ data }) => {
  if (data instanceof Uint8Array) return bridge.send(data);
  if (data.kind === "begin") {
    ready = begin(data.address);
    ready.catch(() => {});        // told to who connects
  } else connect(data.args).catch((fault) => self.postMessage({ fault: String(fault) }));
};

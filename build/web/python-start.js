// Starts Python from nothing, or from the memory of an earlier start, in which the whole application is imported.
//
// A memory fits only if the compiled extensions have the same places as when it was made, in memory and in the table of
// functions. So they are linked before Python runs, always in the same order, when a memory is made and when it is
// used. A memory does not contain the files, which are written at each start.
import { loadPyodide } from "./pyodide/pyodide.mjs";
import createRuntime from "./pyodide/pyodide.asm.mjs";
import { keep, place } from "./python-memory.js";

const HOME = "/home/pyodide";
const BRIDGE = "flet_js";
const BLOCK = 512;                // of a tar archive
const say = (text) => console.info(text);

// --- the archive ------------------------------------------------------------------------------------------------

async function fetched() {
  const reply = await fetch("@archive@");
  if (!reply.ok) throw new Error(`@archive@: ${reply.status}`);
  const files = unpacked(new Uint8Array(await reply.arrayBuffer()));
  const extensions = Array.from(files).filter(([path]) => path.endsWith(".so"));
  const compiled = extensions.map(([path, bytes]) => [path, WebAssembly.compile(bytes)]);
  compiled.forEach(([, module]) => module.catch(() => {}));    // whoever links it gets the fault
  return { files, compiled };
}

// Path and content of each file of a tar archive (POSIX.1-2017, pax: ustar interchange format).
function unpacked(archive) {
  const files = new Map();
  const text = (from, length) => {
    const field = archive.subarray(from, from + length);
    const end = field.indexOf(0);
    return new TextDecoder().decode(end < 0 ? field : field.subarray(0, end));
  };
  for (let head = 0; archive[head]; ) {
    const size = parseInt(text(head + 124, 12), 8);
    const folder = text(head + 345, 155);
    files.set(`${HOME}/${folder}${folder && "/"}${text(head, 100)}`, archive.subarray(head + BLOCK, head + BLOCK + size));
    head += BLOCK + Math.ceil(size / BLOCK) * BLOCK;
  }
  return files;
}

async function putInPlace(runtime, archive) {
  const { files, compiled } = await archive;
  const made = new Set();
  for (const [path, bytes] of files) {
    const folder = path.slice(0, path.lastIndexOf("/"));
    if (!made.has(folder)) runtime.FS.mkdirTree(folder);
    made.add(folder);
    runtime.FS.writeFile(path, bytes, { canOwn: true });
  }
  for (const [path, module] of compiled) {
    const how = { loadAsync: true, nodelete: true, allowUndefined: true };
    runtime.preloadedWasm[path] = await runtime.loadWebAssemblyModule(await module, how, path, {});
  }
}

// --- starts -----------------------------------------------------------------------------------------------------

export async function startAnew(bridge) {
  const archive = fetched();
  archive.catch(() => {});
  const python = await loadPyodide({ env: { HOME }, stdout: say, stderr: say });
  await putInPlace(python._module, archive);
  introduce(python, bridge);
  await python.runPythonAsync("import ahead, main");
  return python;
}

export async function startFromMemory(bridge, { size, fill }) {
  const memory = new Uint8Array(size);
  const filled = fill(memory);
  const failed = filled.then(() => new Promise(() => {}));
  const python = await Promise.race([failed, linkedFirst(filled, (runtime) => runtime.growMemory(heapSize(memory)), {
    _loadSnapshot: memory,
    _snapshotDeserializer: () => bridge,
  })]);
  await python.runPythonAsync("import random; random.seed(); import main");
  return python;
}

export async function remember(bridge) {
  const cache = await place();
  const python = await linkedFirst(null, () => {}, { _makeSnapshot: true });
  introduce(python, bridge);
  await python.runPythonAsync("import everything");
  await keep(python.makeMemorySnapshot({ serializer }), cache);

  function serializer(object) {
    if (object !== bridge) throw new Error(`Python holds something of the page: ${object}`);
    return BRIDGE;
  }
}

function introduce(python, bridge) {
  python.registerJsModule(BRIDGE, bridge);
  python.runPython(`import sys; sys.path.insert(0, "${HOME}/__pypackages__")`);
}

// Starts Python after the files are written and the extensions linked.
function linkedFirst(filled, prepare, how) {
  const archive = fetched();
  return new Promise((resolve, reject) => {
    const createPyodideModule = (settings) => {
      settings.preRun.push((runtime) => {
        runtime.addRunDependency("files");
        Promise.resolve(filled).then(() => prepare(runtime)).then(() => putInPlace(runtime, archive))
          .then(() => runtime.removeRunDependency("files"), reject);
      });
      return createRuntime(settings);
    };
    loadPyodide({ env: { HOME }, stdout: say, stderr: say, createPyodideModule, ...how }).then(resolve, reject);
  });
}

// A memory begins with a header, whose second word is the header's length.
const heapSize = (memory) => memory.length - new Uint32Array(memory.buffer, 0, 2)[1];

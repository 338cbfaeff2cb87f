// A worker that runs the packaged Python the way the application's own worker does, for tests of what it keeps.
// First message: {archives: [addresses of tar files]}; it answers "ready". Then {run: Python} answers {value} or {fault}.
let python = null;

async function start({ pyodide, archives }) {
  const { loadPyodide } = await import(pyodide);
  python = await loadPyodide();
  for (const address of archives) {
    const reply = await fetch(address);
    python.unpackArchive(await reply.arrayBuffer(), "tar");
  }
  python.runPython(`
import sys
sys.path[:0] = ["__pypackages__", "test_packages", "tests/support", "tests/support/phone", "tests/support/stores", "tests/unit/storage"]
`);
  return "ready";
}

self.onmessage = async ({ data }) => {
  try {
    const value = data.archives ? await start(data) : await python.runPythonAsync(data.run);
    self.postMessage({ value });
  } catch (fault) {
    self.postMessage({ fault: String(fault) });
  }
};

// node run_engine_on_pyodide.mjs BUILD SUITE ENTRY [TEST_PATH ...]
// Loads the Pyodide that BUILD ships, mounts the folder SUITE and runs SUITE/ENTRY there with the test paths
// as its arguments. ENTRY writes SUITE/report.json; it fails only where Python could not be started.

import path from "node:path";
import { pathToFileURL } from "node:url";

const [build, suite, entry, ...testPaths] = process.argv.slice(2);
const pyodideFolder = path.join(build, "pyodide");
const { loadPyodide } = await import(pathToFileURL(path.join(pyodideFolder, "pyodide.mjs")).href);

const pyodide = await loadPyodide({ indexURL: pyodideFolder });
pyodide.FS.mkdirTree("/suite");
pyodide.FS.mount(pyodide.FS.filesystems.NODEFS, { root: suite }, "/suite");
pyodide.FS.chdir("/suite");
pyodide.globals.set("test_paths", pyodide.toPy(testPaths));
pyodide.globals.set("entry", entry);
pyodide.runPython(`
import runpy, sys
sys.argv = [entry, *test_paths]
runpy.run_path(entry, run_name="__main__")
`);

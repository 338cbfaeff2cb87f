// node compile.mjs PYODIDE FOLDER SCRIPT: runs SCRIPT on the packaged Python, with FOLDER mounted as its argument.
import path from "node:path";
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [packaged, folder, script] = process.argv.slice(2).map((one) => path.resolve(one));
const { loadPyodide } = await import(pathToFileURL(path.join(packaged, "pyodide.mjs")).href);
const python = await loadPyodide({ indexURL: packaged, env: { HOME: "/", PYTHONHASHSEED: "0" } });
python.FS.mkdirTree("/folder");
python.FS.mount(python.FS.filesystems.NODEFS, { root: folder }, "/folder");
python.registerJsModule("flet_js", { args: {} });   // stands in for the page
python.runPython(`import sys; sys.argv = ["compile", "/folder"]`);
try {
  python.runPython(readFileSync(script, "utf-8"));
} catch (fault) {
  console.log(fault.message);   // without the runtime's source, which Node would print
  process.exitCode = 1;
}

// Treats files dropped on the window as if they had been picked. Python is told how many there are and asks for them
// through its picker, whose click then opens no dialog but finds the dropped files. Loaded after cues.js, which is the
// page's link to its Python.
"use strict";

(() => {
  const KEPT_MS = 10000;          // after this the next pick opens a dialog as usual

  let dropped = null;
  const holdsFiles = (event) => event.dataTransfer?.types.includes("Files");

  // Without this the browser would leave the application and open the file.
  addEventListener("dragover", (event) => { if (holdsFiles(event)) event.preventDefault(); });
  addEventListener("drop", (event) => {
    if (!holdsFiles(event)) return;
    event.preventDefault();
    const held = new DataTransfer();
    for (const file of event.dataTransfer.files) held.items.add(file);
    dropped = held.files;
    setTimeout(() => { if (dropped === held.files) dropped = null; }, KEPT_MS);
    companionPage.tell({ kind: "files_dropped", count: dropped.length });
  });

  const click = HTMLInputElement.prototype.click;
  HTMLInputElement.prototype.click = function () {
    if (this.type !== "file" || !dropped) return click.call(this);
    this.files = dropped;
    dropped = null;
    this.dispatchEvent(new Event("change", { bubbles: true }));
  };
})();

// Treats files dropped on the window as if they had been picked. Python is told how many there are and asks for them
// through its picker, whose click then opens no dialog but finds the dropped files. Loaded after cues.js, which is the
// page's link to its Python.
"use strict";

(() => {
  const KEPT_MS = 10000;          // after this the next pick opens a dialog as usual
  const MOST_FILES = 500;         // read at once. † Our judgement, no source.
  const MOST_BYTES = 50000000;    // read at once, as one message carries them. † Our judgement, no source.
  const CUT_BYTES = 5000000;      // more than any page may have (LARGEST_DOCUMENT_BYTES in engine/base/reading.py)
  const MOST_TOLD = 100000;

  let dropped = null;
  const holdsFiles = (event) => event.dataTransfer?.types.includes("Files");

  // As many of the files as can be read at once, in their order. One that alone is too large is cut short, so that its
  // reader says so.
  function fitting(files) {
    const held = new DataTransfer();
    let left = MOST_BYTES;
    for (const file of Array.from(files).slice(0, MOST_FILES)) {
      const whole = file.size <= MOST_BYTES;
      const taken = whole ? file : new File([file.slice(0, CUT_BYTES)], file.name, { type: file.type });
      if (taken.size > left) break;
      left -= taken.size;
      held.items.add(taken);
    }
    return held.files;
  }

  // Without this the browser would leave the application and open the file.
  addEventListener("dragover", (event) => { if (holdsFiles(event)) event.preventDefault(); });
  addEventListener("drop", (event) => {
    if (!holdsFiles(event)) return;
    event.preventDefault();
    const { files } = event.dataTransfer;
    const held = fitting(files);
    dropped = held;
    setTimeout(() => { if (dropped === held) dropped = null; }, KEPT_MS);
    companionPage.tell({ kind: "files_dropped", count: Math.min(files.length, MOST_TOLD) });
  });

  const click = HTMLInputElement.prototype.click;
  HTMLInputElement.prototype.click = function () {
    if (this.type !== "file" || !dropped) return click.call(this);
    this.files = dropped;
    dropped = null;
    this.dispatchEvent(new Event("change", { bubbles: true }));
  };
})();

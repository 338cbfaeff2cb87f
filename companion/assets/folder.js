// The page's side of the folder for copies: the person chooses it once, and Python then writes backups into it and reads
// those of other devices (companion/services/copies_folder.py). Only some browsers let a page write into a folder; where
// one does not, Python hears so and offers files alone. Loaded after cues.js, which is the page's link to its Python.
//
// A picker and the question for permission need a tap that is at most a few seconds old. The tap goes to Python by way of
// the client and comes back as a message; that takes some milliseconds of the 5 s that Chromium allows.
"use strict";

(() => {
  const { on, tell } = companionPage;
  const PART_BYTES = 600000;      // of a file in one message; base64 makes 800,000 signs of it
  const MOST_FILES = 5000;        // listed. † Our judgement, no source.
  const OURS = /^session-companion-[0-9a-f-]{36}(-\d{4}-\d{2})?\.json$/;   // storage/exchange/device_files.py
  const SHELF = "kept";
  const OUTCOMES = {
    AbortError: "none", SecurityError: "no_tap", NotAllowedError: "lapsed", NotFoundError: "gone",
    QuotaExceededError: "full",
  };
  const offered = "showDirectoryPicker" in window;

  // --- what is kept here, for each person: the folder's handle, and a note of Python's about the files in it ------------

  // With the folder of the build in its name: one origin may hold several.
  const database = () => new Promise((resolve, reject) => {
    const opening = indexedDB.open(`session-companion-folder ${new URL(".", document.baseURI).pathname}`, 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore(SHELF);
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = opening.onblocked = () => reject(opening.error ?? new Error("held open"));
  });

  async function step(mode, request) {
    const open = await database();
    try {
      return await new Promise((resolve, reject) => {
        const transaction = open.transaction(SHELF, mode);
        const asked = request(transaction.objectStore(SHELF));
        transaction.oncomplete = () => resolve(asked.result);
        transaction.onabort = () => reject(transaction.error);
      });
    } finally {
      open.close();
    }
  }

  const kept = (whose) => step("readonly", (shelf) => shelf.get(whose));
  const keep = (whose, folder) => step("readwrite", (shelf) => shelf.put(folder, whose));

  // --- what Python asks -------------------------------------------------------------------------------------------

  const permission = { mode: "readwrite" };
  const stampOf = (file) => `${file.lastModified}-${file.size}`;

  async function folder(whose) {
    const { handle } = await kept(whose) ?? {};
    if (!handle) throw new DOMException("none is chosen", "NotFoundError");
    return handle;
  }

  const doing = {
    async look({ whose }) {
      const found = offered ? await kept(whose) : null;
      if (!found) return { offered };
      const allowed = await found.handle.queryPermission(permission) === "granted";
      return { offered, name: found.handle.name, allowed, note: found.note };
    },

    async choose({ whose }) {
      const handle = await showDirectoryPicker({ id: "session-companion", mode: "readwrite", startIn: "documents" });
      await keep(whose, { handle, note: "" });
      return { offered, name: handle.name, allowed: true };
    },

    async allow({ whose }) {
      const handle = await folder(whose);
      const answer = await handle.requestPermission(permission);
      if (answer !== "granted") throw new DOMException(answer, "NotAllowedError");
      return { offered, name: handle.name, allowed: true };
    },

    async forget({ whose }) {
      await step("readwrite", (shelf) => shelf.delete(whose));
      return { offered };
    },

    async list({ whose }) {
      const files = {};
      for await (const [name, entry] of (await folder(whose)).entries()) {
        if (entry.kind === "file" && OURS.test(name)) files[name] = stampOf(await entry.getFile());
        if (Object.keys(files).length >= MOST_FILES) break;
      }
      return { files };
    },

    async note({ whose, text }) {
      await keep(whose, { ...await kept(whose), note: text });
      return {};
    },

    async read({ whose, name, start }) {
      const file = await (await (await folder(whose)).getFileHandle(name)).getFile();
      const end = start + PART_BYTES;
      return { part: await base64(file.slice(start, end)), more: end < file.size };
    },

    // The stream writes beside the file and takes its place when it closes, so that the old file stays whole until then,
    // and for good where writing fails (File System, WHATWG: FileSystemWritableFileStream).
    async write({ whose, name, text }) {
      const handle = await folder(whose);
      const isNew = !await handle.getFileHandle(name).then(() => true, (fault) => {
        if (fault.name === "NotFoundError") return handle.keys().next().then(() => false);   // throws where it is gone
        throw fault;
      });
      const entry = await handle.getFileHandle(name, { create: true });
      try {
        const stream = await entry.createWritable();
        try {
          await stream.write(text);
          await stream.close();
        } catch (fault) {
          await stream.abort().catch(() => {});
          throw fault;
        }
      } catch (fault) {
        if (isNew) await handle.removeEntry(name).catch(() => {});
        throw fault;
      }
      return { stamp: stampOf(await entry.getFile()) };
    },
  };

  const base64 = (blob) => new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(reader.result.slice(reader.result.indexOf(",") + 1));
    reader.onerror = () => reject(reader.error);
    reader.readAsDataURL(blob);
  });

  // Whoever answered first at this page is its Python. Should the server end and another program take its port, the page
  // would go on with that one, which must not get at the person's files.
  let key = null;

  on("folder", async (asked) => {
    key ??= asked.key;
    const answer = { kind: "folder", ask: asked.ask };
    if (asked.key !== key) return tell({ ...answer, outcome: "stranger" });
    try {
      if (asked.name && !OURS.test(asked.name)) throw new DOMException("not a file of ours", "OperationError");
      tell({ ...answer, outcome: "done", ...await doing[asked.do](asked) });
    } catch (fault) {
      const detail = `${fault?.name ?? fault}`.slice(0, 80);
      tell({ ...answer, outcome: OUTCOMES[fault?.name] ?? "failed", detail });
    }
  });
})();

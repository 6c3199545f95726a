// The outbox: what was entered on this device and not acknowledged yet. A table whose running number is this device's
// sequence; the device's own name lives in the same database, so that number and name are lost together or not at all.

const asked = (request) => new Promise((done, failed) => {
  request.onsuccess = () => done(request.result);
  request.onerror = () => failed(request.error);
});

const opened = (() => {
  const request = indexedDB.open("knowngood", 2);
  request.onupgradeneeded = () => {
    const has = request.result.objectStoreNames;
    if (!has.contains("entries")) request.result.createObjectStore("entries", { keyPath: "seq", autoIncrement: true });
    request.result.createObjectStore("own");
    request.result.createObjectStore("pages", { keyPath: "path" });
  };
  return asked(request);
})();
opened.catch(() => {}); // said where something is to be kept

// Resolves when the disk has it: `strict` waits for the disk, not for the system's memory.
async function table(name, mode, use) {
  const change = (await opened).transaction(name, mode, { durability: "strict" });
  const committed = new Promise((done, failed) => {
    change.oncomplete = done;
    change.onabort = change.onerror = () => failed(change.error);
  });
  const result = asked(use(change.objectStore(name)));
  await Promise.all([committed, result]);
  return result;
}

// crypto.randomUUID is missing where a phone reaches the computer over plain http; this is not.
export function newId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

export const garage = document.body.dataset.garage;

// Oldest first. One browser may hold entries for another garage that was served under the same address.
export const entries = async () => (await table("entries", "readonly", (t) => t.getAll())).filter((one) => one.garage === garage);
export const waiting = async () => (await entries()).filter((one) => !one.refused);
export const keep = (entry) => table("entries", "readwrite", (t) => t.put({ garage, ...entry }));
export const drop = (seq) => table("entries", "readwrite", (t) => t.delete(seq));

export async function device() {
  const name = newId();
  await table("own", "readwrite", (t) => {
    const known = t.getKey("device");
    known.addEventListener("success", () => known.result === undefined && t.put(name, "device"));
    return known;
  });
  return table("own", "readonly", (t) => t.get("device"));
}

export const keepPage = (page) => table("pages", "readwrite", (t) => t.put({ ...page, path: garage + page.path }));
export const keptPage = (path) => table("pages", "readonly", (t) => t.get(garage + path));

export const valueOf = (entry, name) => entry.fields.find(([key]) => key === name)?.[1];

// Carries what is typed to the core and what the core says onto the page. It
// knows no rule, no limit and no sum.
const byId = (id) => document.getElementById(id);
const kept = new Map(); // files by name, as they are in the store
let store = null, noStore = false, ready = false, busy = false, waiting = [];

// --- the browser's own store
function openStore() {
  return new Promise((done) => {
    try {
      const asked = indexedDB.open("reconcile", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("files");
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => done(null);
    } catch { done(null); }
  });
}
function readStore() {
  return new Promise((done) => {
    if (!store) return done([]);
    const files = [], walk = store.transaction("files").objectStore("files").openCursor();
    walk.onsuccess = () => {
      const at = walk.result;
      if (!at) return done(files);
      files.push({ name: at.key, bytes: at.value });
      at.continue();
    };
    walk.onerror = () => done(files);
  });
}
function save(files, forgot) {
  if (forgot) kept.clear();
  for (const f of files) f.bytes ? kept.set(f.name, f.bytes) : kept.delete(f.name);
  if (!store) return;
  const change = store.transaction("files", "readwrite"), all = change.objectStore("files");
  if (forgot) all.clear();
  for (const f of files) f.bytes ? all.put(f.bytes, f.name) : all.delete(f.name);
  document.body.dataset.stored = "no";
  change.oncomplete = () => { document.body.dataset.stored = "yes"; };
  change.onabort = () => { noStore = true; note(); };
}
function note() { const n = byId("store-note"); if (n) n.hidden = !noStore; }

// --- the core
const worker = new Worker(URL.createObjectURL(new Blob([byId("worker").textContent], { type: "text/javascript" })));
worker.onerror = failed;
worker.onmessage = async (message) => {
  const m = message.data;
  if (m.failed) return failed();
  if (m.started) {
    const files = await stored;
    for (const f of files) kept.set(f.name, f.bytes);
    worker.postMessage({ events: JSON.stringify([{ do: "restore" }]), files: [files] });
    return;
  }
  apply(m);
  if (!ready) {
    ready = true;
    document.body.dataset.ready = Math.round(performance.now());
    if (!waiting.length) send({ do: "warm", at: "", value: "" });
  }
  if (!m.rest) busy = false;
  flush();
  document.body.dataset.state = busy ? "busy" : m.more ? "rest" : "idle";
};
// failed has the page say that the core does not start.
function failed() { if (!ready) document.body.dataset.state = "damaged"; }
function send(event, files) {
  const same = waiting.find((w) => w.event.do === event.do && w.event.at === event.at && !w.files);
  if (same && !files) same.event = event;
  else waiting.push({ event, files });
  flush();
}
function flush() {
  if (!ready || busy || !waiting.length) return;
  const all = waiting;
  waiting = [];
  busy = true;
  document.body.dataset.state = "busy";
  worker.postMessage({ events: JSON.stringify(all.map((w) => w.event)), files: all.map((w) => w.files || null) });
}

// --- what the core says
function apply(m) {
  const focused = document.activeElement, id = focused && focused.id;
  for (const [name, html] of m.html) fill(name, html);
  if (!m.rest && !waiting.length) show(m.part); // else a later answer says where we are
  if (m.save.length || m.forgot) save(m.save, m.forgot);
  if (id && document.activeElement !== focused && byId(id) && byId(id).isConnected) byId(id).focus({ preventScroll: true });
  for (const img of document.querySelectorAll("img[data-copy]")) {
    const b = kept.get(img.dataset.copy);
    if (b && img.shown !== b) { img.src = URL.createObjectURL(new Blob([b])); img.shown = b; }
  }
  note();
  if (m.focus) focusOn(m.focus);
  if (m.download) download(m.download);
  if (m.print) { document.body.classList.add("sheet-only"); print(); document.body.classList.remove("sheet-only"); }
}
function show(part) { if (part) document.body.dataset.part = part; }
function focusOn(where) {
  let target = byId(where);
  if (where.startsWith("fault:")) {
    target = [...document.querySelectorAll(`#${document.body.dataset.part} [data-fault]`)].find((e) => e.dataset.fault === where.slice(6));
    const field = target && target.closest(".field, .radios, .deck");
    target = field ? field.querySelector("input, select, [tabindex]") || target : target;
  }
  if (!target) return;
  for (let d = target; (d = d.parentElement && d.parentElement.closest("details"));) d.open = true;
  if (target.localName === "details") { target.open = true; target = target.querySelector("summary"); }
  if (target.tabIndex < 0 && !target.hasAttribute("tabindex")) target.tabIndex = -1;
  target.focus({ preventScroll: true });
  target.scrollIntoView({ block: target.localName === "h2" ? "start" : "center" });
}
function download(f) {
  const link = document.createElement("a");
  const type = { pdf: "application/pdf", zip: "application/zip", json: "application/json" }[f.name.split(".").pop()];
  link.href = URL.createObjectURL(new Blob([f.bytes], { type }));
  link.download = f.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

// fill makes an element what the HTML says, and keeps what is the same: the
// field that is being typed in stays as it is.
function fill(id, html) {
  const have = byId(id), want = have.cloneNode(false);
  want.innerHTML = html;
  morph(have, want);
}
function like(a, b) {
  return a.nodeType === b.nodeType && a.localName === b.localName && (a.nodeType !== 1 || a.id === b.id && a.getAttribute("type") === b.getAttribute("type"));
}
function morph(have, want) {
  let at = have.firstChild;
  const named = new Map();
  for (const c of have.children) if (c.id) named.set(c.id, c);
  for (const w of [...want.childNodes]) {
    let h = w.nodeType === 1 && w.id && named.get(w.id) || at;
    if (!h || !like(h, w)) { have.insertBefore(w, at); continue; }
    if (h !== at) have.insertBefore(h, at); else at = at.nextSibling;
    if (h.nodeType !== 1) { if (h.data !== w.data) h.data = w.data; continue; }
    attributes(h, w);
    if (h.hasAttribute("data-piece")) continue; // filled by itself
    morph(h, w);
    if (h.localName === "select" && h !== document.activeElement) { const now = [...w.querySelectorAll("option")].findIndex((o) => o.hasAttribute("selected")); if (now >= 0) h.selectedIndex = now; }
  }
  while (at) { const gone = at; at = at.nextSibling; gone.remove(); }
}
function attributes(h, w) {
  if (h.localName === "details") h.said = w.open;
  for (const { name, value } of w.attributes) if (h.getAttribute(name) !== value) h.setAttribute(name, value);
  for (const { name } of [...h.attributes]) if (!w.hasAttribute(name) && name !== "src") h.removeAttribute(name);
  if (h.localName !== "input" || h.type === "file") return;
  if (h.type === "checkbox" || h.type === "radio") h.checked = w.hasAttribute("checked");
  else if (h !== document.activeElement && h.dataset.do && !h.dataset.do.startsWith("hold") && h.value !== w.getAttribute("value")) h.value = w.getAttribute("value") || "";
}

// --- what is done on the page
const acts = (e) => e.target.closest && e.target.closest("[data-do]");
document.addEventListener("input", (e) => {
  const f = acts(e);
  if (f && f.type !== "file" && !f.dataset.do.startsWith("hold")) send({ do: f.dataset.do, at: f.dataset.at || "", value: f.type === "checkbox" ? String(f.checked) : f.value });
});
document.addEventListener("change", async (e) => {
  const f = acts(e);
  if (!f || f.type !== "file" || f.dataset.do.startsWith("hold") || !f.files.length) return;
  const files = f.dataset.do === "photo" ? [await photo(f.files[0])] : await bytesOf(f.files);
  send({ do: f.dataset.do, at: f.dataset.at || "", value: "" }, files);
  f.value = "";
});
document.addEventListener("click", async (e) => {
  const b = acts(e);
  if (!b || b.localName === "input" || b.localName === "select") return;
  if (b.dataset.do === "goto" || b.dataset.do === "start") show(b.value);
  const event = { do: b.dataset.do, at: b.dataset.at || "", value: b.value || "" };
  if (!b.dataset.secret) return send(event);
  const key = byId(b.dataset.files), secret = byId(b.dataset.secret);
  send({ ...event, value: secret.value }, await bytesOf(key.files));
  key.value = secret.value = "";
});
document.addEventListener("keydown", (e) => {
  if (e.key !== " " && e.key !== "Enter") return;
  if (e.target.localName === "g" && e.target.dataset.do) { e.preventDefault(); send({ do: e.target.dataset.do, at: e.target.dataset.at, value: "" }); }
});
document.addEventListener("toggle", (e) => {
  const d = e.target;
  if (d.dataset && d.dataset.open && ready && d.open !== d.said) send({ do: "open", at: d.dataset.open, value: String(d.open) });
}, true);
document.addEventListener("dragover", (e) => e.preventDefault());
document.addEventListener("drop", async (e) => {
  e.preventDefault();
  if (!e.dataTransfer.files.length) return;
  const files = await bytesOf(e.dataTransfer.files);
  send({ do: e.target.closest("[data-drop]") ? "look" : "files", at: "drop", value: "" }, files);
});
async function bytesOf(list) {
  const all = [];
  for (const f of list) all.push({ name: f.name, bytes: new Uint8Array(await f.arrayBuffer()) });
  return all;
}
// photo scales a picture so that its long side has at most 1,600 pixels.
async function photo(file) {
  try {
    const bitmap = await createImageBitmap(file), most = 1600;
    const scale = Math.min(1, most / Math.max(bitmap.width, bitmap.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(bitmap.width * scale));
    canvas.height = Math.max(1, Math.round(bitmap.height * scale));
    canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85));
    return { name: "photo.jpg", bytes: new Uint8Array(await blob.arrayBuffer()) };
  } catch {
    return (await bytesOf([file]))[0];
  }
}

// The form is painted before the core starts; the store opens while it does.
let stored;
requestAnimationFrame(() => setTimeout(() => {
  worker.postMessage({ core: byId("core").textContent });
  byId("core").remove();
  stored = openStore().then((opened) => { store = opened; noStore = !store; note(); return readStore(); });
}));

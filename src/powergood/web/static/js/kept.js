/**
 * Words typed but not yet written down, kept on this device so that a closed page or a dead battery loses
 * nothing. IndexedDB works on plain http, where other stores of the browser may not.
 */

const WAIT_MS = 400;
const opened = new Promise((resolve) => {
  try {
    const ask = indexedDB.open("powergood", 1);
    ask.onupgradeneeded = () => ask.result.createObjectStore("words");
    ask.onsuccess = () => resolve(ask.result);
    ask.onerror = () => resolve(null);
    ask.onblocked = () => resolve(null);
  } catch {
    resolve(null);
  }
});

async function store(mode, act) {
  const database = await opened;
  if (!database) return undefined;
  return new Promise((resolve) => {
    const ask = act(database.transaction("words", mode).objectStore("words"));
    ask.onsuccess = () => resolve(ask.result);
    ask.onerror = () => resolve(undefined);
  });
}

const nameOf = (field) => `${location.pathname} ${field.form.dataset.form ?? ""} ${field.name}`;

/** Keep what is typed into every marked field below `root`, and bring back what was not sent. */
export async function keepWords(root) {
  for (const field of root.querySelectorAll("[data-keep]:not([data-live])")) {
    field.dataset.live = "yes";
    if (!field.form) continue;
    let timer = 0;
    field.addEventListener("input", () => {
      clearTimeout(timer);
      timer = setTimeout(() => keep(field), WAIT_MS);
    });
    field.form.addEventListener("submit", () => {
      clearTimeout(timer);
      if (field.value && field.value !== field.defaultValue) sent(nameOf(field));
    });
    bringBack(field);
  }
}

async function keep(field) {
  const name = nameOf(field);
  const typed = field.value && field.value !== field.defaultValue;
  await store("readwrite", (words) => (typed ? words.put(field.value, name) : words.delete(name)));
  field.dataset.kept = "yes";
}

async function bringBack(field) {
  const words = await store("readonly", (all) => all.get(nameOf(field)));
  if (!words || words === field.value || field.value !== field.defaultValue) return;
  const was = field.value;
  field.value = words;
  for (let box = field.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
  const line = document.createElement("p");
  line.className = "kept-note";
  line.textContent = "Kept from before, not written down yet. ";
  const clear = document.createElement("button");
  clear.type = "button";
  clear.className = "plain";
  clear.textContent = "Clear it";
  clear.addEventListener("click", () => {
    field.value = was;
    line.remove();
    store("readwrite", (all) => all.delete(nameOf(field)));
  });
  line.append(clear);
  field.after(line);
}

const SENT = "powergood-sent";

function sent(name) {
  try {
    const names = JSON.parse(sessionStorage.getItem(SENT) ?? "[]");
    sessionStorage.setItem(SENT, JSON.stringify([...names, name]));
  } catch { /* without it, kept words are offered once more */ }
}

/** Forget what was sent, once the bench has said that it is written down. */
export async function forgetSent(written) {
  let names = [];
  try {
    names = JSON.parse(sessionStorage.getItem(SENT) ?? "[]");
    sessionStorage.removeItem(SENT);
  } catch { return; }
  if (!written) return;
  await Promise.all(names.map((name) => store("readwrite", (words) => words.delete(name))));
}

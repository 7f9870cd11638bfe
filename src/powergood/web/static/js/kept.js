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

const ticks = (field) => field.type === "checkbox" || field.type === "radio";
// A form shown again to be mended stands at the address it was sent to; its page is where it came from.
const page = document.body.dataset.at || location.pathname;
const nameOf = (field) =>
  `${page} ${field.form.dataset.form ?? ""} ${field.name}${ticks(field) ? `=${field.value}` : ""}`;
const now = (field) => (ticks(field) ? (field.checked ? "ticked" : "not") : field.value);
const atFirst = (field) => (ticks(field) ? (field.defaultChecked ? "ticked" : "not") : field.defaultValue);
const changed = (field) => now(field) !== "" && now(field) !== atFirst(field);

/** Keep what is typed into every marked field below `root`, and bring back what was not sent. */
export async function keepWords(root) {
  for (const field of root.querySelectorAll("[data-keep]:not([data-live])")) {
    field.dataset.live = "yes";
    if (!field.form) continue;
    let timer = 0;
    const atOnce = () => {
      clearTimeout(timer);
      timer = 0;
      for (const each of field.type === "radio" ? field.form.elements[field.name] : [field]) keep(each);
    };
    field.addEventListener("input", () => {
      clearTimeout(timer);
      timer = setTimeout(atOnce, WAIT_MS);
    });
    // Whatever is pressed next, a link or another form's button: the field is left first, and kept.
    field.addEventListener("change", atOnce);
    addEventListener("pagehide", () => timer && atOnce());
    field.form.addEventListener("submit", (event) => {
      clearTimeout(timer);
      const sends = event.submitter?.dataset.sends ?? "";
      if (changed(field) && field.name.startsWith(sends)) sent(nameOf(field));
    });
    bringBack(field);
  }
}

async function keep(field) {
  const name = nameOf(field);
  const words = changed(field) ? now(field) : "";
  inHaste((all) => { all[name] = words; });
  await store("readwrite", (all) => (words ? all.put(words, name) : all.delete(name)));
  inHaste((all) => { if (all[name] === words) delete all[name]; });
  field.dataset.kept = "yes";
}

const HASTE = "powergood-words";

/** Change and return what is kept at once, for this visit: a page that is left may not end what it was writing. */
function inHaste(change) {
  try {
    const all = JSON.parse(sessionStorage.getItem(HASTE) ?? "{}");
    change(all);
    sessionStorage.setItem(HASTE, JSON.stringify(all));
    return all;
  } catch {
    return {};
  }
}

async function bringBack(field) {
  const name = nameOf(field);
  const words = inHaste(() => {})[name] ?? (await store("readonly", (all) => all.get(name)));
  if (!words || words === now(field) || changed(field)) return;
  const was = field.value;
  if (ticks(field)) field.checked = words === "ticked";
  else field.value = words;
  for (let box = field.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
  const place = (ticks(field) && field.closest("fieldset")) || field;
  if (place.nextElementSibling?.matches(".kept-note")) return;
  const line = document.createElement("p");
  line.className = "kept-note";
  line.textContent = "Kept from before, not written down yet. ";
  const clear = document.createElement("button");
  clear.type = "button";
  clear.className = "plain";
  clear.textContent = "Clear it";
  clear.addEventListener("click", () => {
    const group = place === field ? [field] : place.querySelectorAll("[data-keep]");
    for (const each of group) {
      if (ticks(each)) each.checked = each.defaultChecked;
      else each.value = was;
      keep(each);
    }
    line.remove();
  });
  line.append(clear);
  place.after(line);
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
  inHaste((all) => { for (const name of names) delete all[name]; });
  await Promise.all(names.map((name) => store("readwrite", (words) => words.delete(name))));
}

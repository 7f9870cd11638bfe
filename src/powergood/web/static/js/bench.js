/**
 * What a little script adds: a stopwatch on the pad, words kept until they are written down, photos shown
 * before they are sent, and the eye led to what is new. Every form works without it.
 */
import { keepWords, forgetSent } from "./kept.js";
import { fold, unfold } from "./folds.js";
import { startStopwatches } from "./stopwatch.js";
import { watchMarks } from "./marks.js";
import { showPreviews } from "./preview.js";

document.documentElement.classList.add("scripted");

/** Attach everything below `root` that is not attached yet. */
function attach(root) {
  fold(root);
  startStopwatches(root);
  showPreviews(root);
  watchMarks(root);
  keepWords(root);
  root.querySelector("[data-focus]")?.focus({ preventScroll: false });
}

// A form that came back at the address it was sent to: going back or loading again asks for its page.
const page = document.body.dataset.at;
if (page && page !== location.pathname) history.replaceState(null, "", page);

forgetSent(document.body.dataset.said !== "");
attach(document);
unfold(location.hash);

// The words of how near the plan is to the best come in by themselves; no form was sent for them.
const cameByItself = (event) => event.detail.ctx?.sourceElement?.id === "near-figures";

document.addEventListener("htmx:before:request", (event) => {
  const form = event.detail.ctx.sourceElement;
  form?.querySelector("[data-unreached]")?.remove();
  form?.setAttribute("aria-busy", "true");
});
document.addEventListener("htmx:finally:request", (event) => {
  event.detail.ctx.sourceElement?.removeAttribute("aria-busy");
});

let answered = { ok: false, form: "" };
document.addEventListener("htmx:after:request", (event) => {
  if (cameByItself(event)) return;
  const ctx = event.detail.ctx;
  answered = { ok: ctx.response.status < 400, form: ctx.sourceElement?.dataset?.form ?? "" };
});
document.addEventListener("htmx:after:swap", async (event) => {
  if (cameByItself(event)) return;
  await forgetSent(answered.ok);
  const job = document.getElementById("job");
  if (job) attach(job);
});
document.addEventListener("htmx:error", (event) => {
  const form = event.detail.ctx?.sourceElement;
  if (!(form instanceof HTMLFormElement)) return;
  let words = form.querySelector("[data-unreached]");
  if (!words) {
    words = document.createElement("p");
    words.className = "problem";
    words.dataset.unreached = "";
    words.setAttribute("role", "alert");
    form.prepend(words);
  }
  words.textContent = "The bench did not answer. What you typed is still here; send it again when it is back.";
});

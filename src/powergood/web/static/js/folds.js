/**
 * Parts that fold: open on a wide screen and on paper, folded on a small one; whichever a person opened or closed
 * stays so over an answer and for this visit. Without scripts each opens by itself.
 */

const KEPT = "powergood-folds";
const wide = matchMedia("(min-width: 760px)");
const page = document.body.dataset.at || location.pathname;

function kept(change = () => {}) {
  try {
    const all = JSON.parse(sessionStorage.getItem(KEPT) ?? "{}");
    const here = (all[page] ??= {});
    change(here);
    sessionStorage.setItem(KEPT, JSON.stringify(all));
    return here;
  } catch {
    return {};
  }
}

/** Open and close every part below `root` as it was left; what the page itself opened stays open. */
export function fold(root) {
  const here = kept();
  for (const part of root.querySelectorAll("details[data-fold]:not([open])")) {
    part.open = here[part.dataset.fold] ?? (wide.matches && "wide" in part.dataset);
  }
}

/** Open whatever is folded round the place that an address names. */
export function unfold(hash) {
  const place = hash.length > 1 && document.getElementById(decodeURIComponent(hash.slice(1)));
  const inside = place && place.querySelector(":scope > details[data-fold]");
  for (let part = place && (inside ?? place.closest("details")); part; part = part.parentElement.closest("details")) {
    part.open = true;
    if (part.dataset.fold) kept((here) => { here[part.dataset.fold] = true; });
  }
}

document.addEventListener("click", (event) => {
  const part = event.target.closest("summary")?.parentElement;
  if (part?.dataset.fold) kept((here) => { here[part.dataset.fold] = !part.open; });
  const link = event.target.closest("a[href^='#']");
  if (link) unfold(link.hash);
});
addEventListener("hashchange", () => unfold(location.hash));
wide.addEventListener("change", () => fold(document));

// On paper everything that is open on a wide screen is there, and closed again after.
let forPaper = [];
addEventListener("beforeprint", () => {
  forPaper = [...document.querySelectorAll("details[data-wide]:not([open])")];
  for (const part of forPaper) part.open = true;
});
addEventListener("afterprint", () => {
  for (const part of forPaper) part.open = false;
  forPaper = [];
});

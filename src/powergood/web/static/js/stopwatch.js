/** A stopwatch for one start: each key pressed after switching on keeps the second it was pressed at. */

const STEP_MS = 100;

/** Start every stopwatch below `root`. */
export function startStopwatches(root) {
  for (const watch of root.querySelectorAll("[data-stopwatch]:not([data-live])")) {
    watch.dataset.live = "yes";
    run(watch, watch.closest("form"));
  }
}

function run(watch, form) {
  const shown = watch.querySelector("[data-seconds]");
  const go = watch.querySelector("[data-go]");
  let begun = 0;
  let held = 0;
  let timer = 0;
  const seconds = () => (begun ? (performance.now() - begun) / 1000 : held);
  const show = () => { shown.textContent = `${seconds().toFixed(1)} s`; };
  go.addEventListener("click", () => {
    if (begun) {
      held = seconds();
      begun = 0;
      clearInterval(timer);
      go.textContent = "Go on";
    } else {
      begun = performance.now() - held * 1000;
      timer = setInterval(show, STEP_MS);
      go.textContent = "Stop the clock";
      reset.hidden = false;
    }
    show();
  });
  const reset = watch.querySelector("[data-reset]");
  reset.addEventListener("click", () => {
    begun = held = 0;
    clearInterval(timer);
    go.textContent = "Switched on now";
    reset.hidden = true;
    show();
  });
  form.addEventListener("change", (event) => {
    const key = event.target.closest(".pad-key");
    if (!key || !["radio", "checkbox"].includes(event.target.type) || event.target.closest(".aside")) return;
    const seen = event.target.type === "radio" ? event.target.value : key.querySelector(".cells input:checked");
    const at = seen && seconds() ? seconds().toFixed(0) : "";
    key.querySelector("[data-at]").value = at;
    key.querySelector("[data-when]").textContent = at ? `at ${at} s` : "";
  });
}

/** Says in words, while cells of a grid are being marked, what the marks make up. Marking works without it. */

const WAIT_MS = 150;

/** Attach every grid below `root`. */
export function watchMarks(root) {
  for (const grid of root.querySelectorAll("[data-marks]:not([data-live])")) {
    grid.dataset.live = "yes";
    let timer = 0;
    let latest = 0;
    const said = grid.querySelector("[data-marked]");
    const tell = async () => {
      const asked = ++latest;
      const marked = [...grid.querySelectorAll("input:checked")];
      const more = marked.map((box) => `&cells=${encodeURIComponent(box.value)}`).join("");
      const words = marked.length ? await ask(grid.dataset.marks + more) : "";
      if (asked === latest) said.textContent = words && `So far: ${words}.`;
    };
    grid.addEventListener("change", () => {
      clearTimeout(timer);
      timer = setTimeout(tell, WAIT_MS);
    });
    if (grid.querySelector("input:checked")) tell();
  }
}

async function ask(address) {
  try {
    const answer = await fetch(address);
    return answer.ok ? await answer.text() : "";
  } catch {
    return "";
  }
}

() => [...document.querySelectorAll("button, .button, summary, select, input, textarea, .places a")]
  .filter((each) => each.checkVisibility() && each.type !== "hidden")
  .map((each) => [(each.closest(".tick, .pick, .keys label") ?? each).getBoundingClientRect(), each])
  .filter(([box]) => box.height > 0 && (box.height < 47.5 || box.width < 47.5))
  .map(([box, each]) => `${each.outerHTML.slice(0, 80)} ${box.width}x${box.height}`)

() => [...document.querySelectorAll("main a[href]")]
  .filter((each) => each.checkVisibility() && !each.querySelector("img, svg") && !each.closest("svg"))
  .map((each) => [each.getBoundingClientRect(), each])
  .filter(([box]) => box.height > 0 && box.height < 43.5)
  .map(([box, each]) => `${each.outerHTML.slice(0, 80)} ${box.width}x${box.height}`)

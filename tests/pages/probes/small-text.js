() => [...document.querySelectorAll("main p, main label, main button, main li, main dd, main legend")]
  .filter((each) => !each.matches(".small, .label, .hint, .quiet, .small *"))
  .filter((each) => parseFloat(getComputedStyle(each).fontSize) < 18)
  .map((each) => `${each.outerHTML.slice(0, 80)} ${getComputedStyle(each).fontSize}`)

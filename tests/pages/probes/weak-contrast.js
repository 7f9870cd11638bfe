() => {
  const part = (value) => {
    const share = value / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  };
  const numbers = (text) => text.match(/[\d.]+/g).map(Number);
  const light = ([r, g, b]) => 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
  const ratio = (one, other) => (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
  const behind = (each) => {
    for (let at = each; at; at = at.parentElement) {
      const colour = numbers(getComputedStyle(at).backgroundColor);
      if (colour.length < 4 || colour[3] > 0.99) return colour;
    }
    return [255, 255, 255];
  };
  const weak = [];
  for (const each of document.querySelectorAll("body *")) {
    if (each.closest("svg") || !each.checkVisibility()) continue;
    if (![...each.childNodes].some((node) => node.nodeType === 3 && node.data.trim())) continue;
    const found = ratio(light(numbers(getComputedStyle(each).color)), light(behind(each)));
    if (found < 7) weak.push(`${each.outerHTML.slice(0, 70)} ${found.toFixed(2)}`);
  }
  for (const tile of document.querySelectorAll(".tile:not(.gone)")) {
    const fill = (name) => light(numbers(getComputedStyle(tile.querySelector(name)).fill));
    const found = ratio(fill(".face"), fill("text"));
    if (found < 7) weak.push(`${tile.className.baseVal} ${found.toFixed(2)}`);
  }
  return weak;
}

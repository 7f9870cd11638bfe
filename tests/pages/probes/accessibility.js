async () => {
  const found = await axe.run(document, {
    runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    resultTypes: ["violations"],
  });
  return found.violations.map((each) => `${each.id}: ${each.help}: ` +
    each.nodes.slice(0, 4).map((node) => `${node.target.join(" ")} (${node.failureSummary})`).join(" | "));
}

// What of the page cannot be read or hit at the screen's width: one sentence each.
(() => {
  const found = [];
  const name = (e) => {
    const words = (e.getAttribute("aria-label") ?? e.textContent ?? "").trim().replace(/\s+/g, " ").slice(0, 40);
    return `<${e.localName}${e.id ? ` id=${e.id}` : ""}${e.getAttribute("class") ? ` class="${e.getAttribute("class")}"` : ""}> ${words}`;
  };
  const width = document.documentElement.clientWidth;
  const sideways = document.documentElement.scrollWidth;
  if (sideways > width) found.push(`the page scrolls sideways: ${sideways} wide on a screen of ${width}`);

  const shown = (e) => e.checkVisibility({ opacityProperty: true, visibilityProperty: true, contentVisibilityAuto: true });
  // What is there for screen readers alone, or comes into view with the focus.
  const aside = (e) => {
    if (e.closest(".skip, [hidden]")) return true;
    for (let up = e; up; up = up.parentElement) {
      if (up.offsetWidth <= 2 && up.offsetHeight <= 2 && getComputedStyle(up).overflow === "hidden") return true;
    }
    return false;
  };
  // A table of data may scroll in a box of its own (WCAG 2.2, 1.4.10).
  const tables = [...document.querySelectorAll("table")].flatMap((table) => {
    let box = table.parentElement;
    while (box && !["auto", "scroll"].includes(getComputedStyle(box).overflowX)) box = box.parentElement;
    return box ? [box] : [];
  });
  for (const e of document.body.querySelectorAll("*")) {
    if (e instanceof SVGElement && e.localName !== "svg") continue;
    if (!shown(e) || aside(e) || tables.some((box) => box.contains(e))) continue;
    const box = e.getBoundingClientRect();
    if (box.width === 0 || box.height === 0) continue;
    if (box.left < -1 || box.right > width + 1) found.push(`beyond the screen (${Math.round(box.left)} to ${Math.round(box.right)}): ${name(e)}`);
    // A field's own text moves under the caret.
    if (e.matches("input, textarea, select, svg")) continue;
    const style = getComputedStyle(e);
    if (style.display === "inline") continue;
    if (style.overflowX !== "visible" && e.scrollWidth > e.clientWidth + 1) found.push(`cut at its side (${e.scrollWidth} in ${e.clientWidth}): ${name(e)}`);
    if (style.overflowX === "visible" && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0 && e.children.length === 0) found.push(`text beyond its box (${e.scrollWidth} in ${e.clientWidth}): ${name(e)}`);
    if (["hidden", "clip"].includes(style.overflowY) && e.scrollHeight > e.clientHeight + 1) found.push(`cut below (${e.scrollHeight} in ${e.clientHeight}): ${name(e)}`);
  }

  // What can be used is not under something else.
  const open = document.querySelector("[popover]:popover-open, dialog:modal");
  for (const e of document.querySelectorAll("a[href], button, input, select, textarea, summary")) {
    if (!shown(e) || aside(e) || open && !open.contains(e)) continue;
    const style = getComputedStyle(e);
    if (style.pointerEvents === "none") continue;
    e.scrollIntoView({ block: "center", behavior: "instant" });
    const box = e.getClientRects()[0];
    if (!box || box.width === 0 || box.height === 0) continue;
    const hit = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    if (!hit || !(e.contains(hit) || hit.contains(e) && hit.closest("label, summary, a, button") || hit.closest("label")?.control === e)) {
      found.push(`under ${hit ? name(hit) : "nothing"}: ${name(e)}`);
    }
  }
  scrollTo(0, 0);
  return found;
})()

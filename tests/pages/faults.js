// What is wrong with a page, in words: whatever scrolls sideways, is too small to touch or for its
// text, has no name, or has too little contrast. Contrast after WCAG 2.2, 1.4.3 (4.5 for text of any size here),
// with the relative luminance of its glossary.
(touch) => {
  const faults = [];
  const page = document.documentElement;
  const said = (e) => `${e.tagName} ${(e.innerText || e.name || "").slice(0, 40)}`;

  if (page.scrollWidth > page.clientWidth + 1) faults.push("scrolls sideways");

  const controls = "a, button, input:not([type=hidden]), select, textarea, summary";
  for (const e of document.querySelectorAll(controls)) {
    if (e.classList.contains("skip") || !e.checkVisibility()) continue;
    const { width, height } = (e.closest("label") || e).getBoundingClientRect();
    if (Math.min(width, height) < touch - 0.5) {
      faults.push(`${said(e)}: ${Math.round(width)} x ${Math.round(height)} px`);
    }
    if (e.matches(".button") && e.scrollWidth > e.clientWidth) faults.push(`${said(e)}: too narrow`);
    const labeled = e.labels?.length || e.getAttribute("aria-label");
    if (!e.innerText && !labeled && !e.querySelector("img[alt]")) faults.push(`${said(e)}: no name`);
  }

  const channel = (v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
  const luminance = (color) => {
    const [r, g, b] = color.match(/[\d.]+/g).map(Number);
    return 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
  };
  const ground = (e) => {
    for (let at = e; at; at = at.parentElement) {
      const color = getComputedStyle(at).backgroundColor;
      if (!color.endsWith(", 0)")) return color;
    }
    return "rgb(255, 255, 255)";
  };
  const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (words.nextNode()) {
    const e = words.currentNode.parentElement;
    const drawn = e.checkVisibility() && !e.closest("svg, option, datalist, noscript");
    if (!words.currentNode.data.trim() || !drawn) continue;
    const both = [luminance(getComputedStyle(e).color), luminance(ground(e))];
    const contrast = (Math.max(...both) + 0.05) / (Math.min(...both) + 0.05);
    if (contrast < 4.5) faults.push(`${said(e)}: contrast ${contrast.toFixed(1)}`);
  }

  const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
  if (new Set(ids).size < ids.length) faults.push("one id twice");
  return faults;
}

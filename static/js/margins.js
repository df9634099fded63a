/* Says on every page of paper what it is. Margin boxes take their words from a rule. */
const margins = new CSSStyleSheet();

export function nameMargins(left, right) {
  const quoted = (text) => `"${text.replace(/["\\\n]/g, ' ')}"`;
  margins.replaceSync(`@page { @top-left { content: ${quoted(left)} } @top-right { content: ${quoted(right)} } }`);
  if (!document.adoptedStyleSheets.includes(margins))
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, margins];
}

export function clearMargins() {
  document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== margins);
}

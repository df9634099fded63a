/* Says on every page of paper what it is. Margin boxes take their words from a rule. narrow: a page with
 * more room than the usual margins leave. */
const margins = new CSSStyleSheet();

/* As long as the page of view is shown. */
export function nameMargins(view, left, right, { narrow = false } = {}) {
  const quoted = (text) => `"${text.replace(/["\\\n]/g, ' ')}"`;
  const room = narrow ? 'margin: 13mm 10mm 11mm;' : '';
  margins.replaceSync(`@page { ${room} @top-left { content: ${quoted(left)} } @top-right { content: ${quoted(right)} } }`);
  if (!document.adoptedStyleSheets.includes(margins))
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, margins];
  view.signal.addEventListener('abort', clearMargins, { once: true });
}

function clearMargins() {
  document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== margins);
}

/* A dialog with a head, a body that scrolls and a foot that is always in sight. */
import { h, uniqueId } from './dom.js';

/* parts: { title, sub, body, foot }; Escape closes it. close() is called with its answer; the promise
 * resolves with that, or with null. Returns { element, close, answer }. */
export function openDialog({ title, sub, body, foot, submit = null }) {
  const id = uniqueId('batch-dialog');
  let said = null;
  const shell = h(
    submit ? 'form' : 'div',
    { class: 'batch-shell', novalidate: submit !== null },
    h('div', { class: 'batch-top' }, h('h2', { id }, title), sub ? h('p', { class: 'sub' }, sub) : null),
    h('div', { class: 'batch-body' }, body),
    h('div', { class: 'batch-foot' }, foot),
  );
  const element = h('dialog', { class: 'batch-dialog', 'aria-labelledby': id }, shell);
  const close = (answer = null) => {
    said = answer;
    element.close();
  };
  if (submit) {
    shell.addEventListener('submit', (event) => {
      event.preventDefault();
      submit();
    });
  }
  const answer = new Promise((resolve) => {
    element.addEventListener('close', () => {
      element.remove();
      resolve(said);
    });
  });
  document.body.append(element);
  element.showModal();
  return { element, close, answer };
}

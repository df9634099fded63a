/* Questions, as native dialogs: they keep the focus, and Escape means no. */
import { h, button } from './dom.js';

function open(dialog) {
  document.body.append(dialog);
  dialog.addEventListener('close', () => dialog.remove());
  dialog.showModal();
}

/* Resolves with true for yes. danger: yes cannot be undone. */
export function confirm(question, { detail = '', yes, no = 'No, go back', danger = false }) {
  return new Promise((resolve) => {
    let answer = false;
    const dialog = h('dialog', { 'aria-labelledby': 'question' });
    const say = (value) => () => {
      answer = value;
      dialog.close();
    };
    dialog.append(
      h('h2', { id: 'question' }, question),
      detail ? h('p', {}, detail) : '',
      h(
        'p',
        { class: 'actions' },
        button(no, say(false), { class: 'quiet', autofocus: true }),
        button(yes, say(true), { class: danger ? 'danger' : 'main' }),
      ),
    );
    dialog.addEventListener('close', () => resolve(answer));
    open(dialog);
  });
}

/* A dialog around content that closes itself by calling close(). Cannot be dismissed. */
export function insist(content) {
  const dialog = h('dialog', { 'aria-labelledby': 'insist' }, content);
  dialog.addEventListener('cancel', (event) => event.preventDefault());
  open(dialog);
  return dialog;
}

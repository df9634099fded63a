/* Questions, as native dialogs: they keep the focus, and Escape means no. */
import { h, button, uniqueId } from './dom.js';

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

/* Asks for a few words; choices are words to take over with one touch. Resolves with them, or with null
 * for no. */
export function ask(question, { detail = '', label, choices = [], yes, no = 'No, go back' }) {
  return new Promise((resolve) => {
    let answer = null;
    const id = uniqueId('answer');
    const input = h('input', { id, type: 'text', maxlength: 1000, autocomplete: 'off' });
    const fault = h('p', { class: 'fault', id: `${id}-fault`, hidden: true }, 'A word or two are needed.');
    input.setAttribute('aria-describedby', fault.id);
    const take = (words) => () => {
      input.value = words;
      input.focus();
    };
    const form = h(
      'form',
      { novalidate: true },
      h('h2', { id: 'question' }, question),
      detail ? h('p', {}, detail) : '',
      h('div', { class: 'field' }, h('label', { for: id }, label), input, fault),
      choices.length
        ? h(
            'p',
            { class: 'actions' },
            choices.map((words) => button(words, take(words), { class: 'quiet' })),
          )
        : '',
      h(
        'p',
        { class: 'actions' },
        button(no, () => dialog.close(), { class: 'quiet' }),
        h('button', { class: 'main' }, yes),
      ),
    );
    const dialog = h('dialog', { 'aria-labelledby': 'question' }, form);
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      fault.hidden = input.value.trim() !== '';
      if (!fault.hidden) {
        input.setAttribute('aria-invalid', 'true');
        input.focus();
        return;
      }
      answer = input.value.trim();
      dialog.close();
    });
    dialog.addEventListener('close', () => resolve(answer));
    open(dialog);
    input.focus();
  });
}

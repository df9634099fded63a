/* Signing in: as the first page, or over a page whose session has ended. */
import { h } from '../dom.js';
import { Problem } from '../api.js';
import { signIn, session } from '../session.js';
import { insist } from '../dialog.js';
import { sentence } from '../messages.js';

function field(id, label, attributes) {
  return h(
    'p',
    { class: 'field' },
    h('label', { for: id }, label),
    h('input', { id, name: id, required: true, ...attributes }),
  );
}

function explain(error) {
  if (error instanceof Problem && error.status === 401) return 'This name and password do not belong together.';
  if (error instanceof Problem) return sentence(error.detail);
  console.error(error);
  return `Something in this page went wrong: ${error.message}`;
}

function signInForm(onDone, firstError) {
  const fault = h(
    'p',
    { class: 'message bad', role: 'alert', hidden: !firstError },
    firstError ? explain(firstError) : '',
  );
  const submit = h('button', { class: 'main' }, 'Sign in');
  const form = h(
    'form',
    { class: 'sign-in' },
    fault,
    field('name', 'Name', {
      autocomplete: 'username',
      autocapitalize: 'none',
      spellcheck: 'false',
      'data-first': true,
    }),
    field('password', 'Password', { type: 'password', autocomplete: 'current-password' }),
    h('p', { class: 'actions' }, submit),
  );
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    if (submit.disabled) return;
    submit.disabled = true;
    fault.hidden = true;
    try {
      await signIn(form.elements.name.value.trim(), form.elements.password.value);
      onDone();
    } catch (error) {
      fault.textContent = explain(error);
      fault.hidden = false;
      form.elements.password.select();
    }
    submit.disabled = false;
  });
  return form;
}

export function signInPage(onDone, firstError) {
  document.title = 'Sign in · Morrowloaf';
  return h('div', { class: 'page entrance' }, h('h1', {}, 'Sign in'), signInForm(onDone, firstError));
}

let open = null;

/* The session has ended while somebody worked: everything stays as it is behind this. */
export function signInAgain(redraw) {
  open ??= new Promise((resolve) => {
    const before = session();
    const dialog = insist(
      h(
        'div',
        {},
        h('h2', { id: 'insist' }, 'Please sign in again'),
        h('p', {}, 'What you typed is still there.'),
        signInForm(() => {
          dialog.close();
          open = null;
          redraw();
          if (before && session().name !== before.name) location.reload();
          resolve();
        }),
      ),
    );
  });
  return open;
}

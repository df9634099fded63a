/* Tokens: with them other programs may call. A token is shown once. */
import { h, button, unseen } from '../dom.js';
import * as api from '../api.js';
import { confirm } from '../dialog.js';
import { choice, text } from '../fields.js';
import { table } from '../figures.js';
import { Form } from '../form.js';
import { momentWords } from '../dates.js';
import { carry, tell, tellError } from '../messages.js';
import { Once } from '../once.js';
import { go } from '../router.js';
import { ROLES } from '../wording.js';

export async function show(view) {
  const tokens = await api.list('/tokens', view);
  return view.frame(
    'Programs',
    'Programs that may call',
    h('p', { class: 'lead' }, 'A till or a web shop calls with a token of its own. Each can be ended alone.'),
    tokens.length === 0
      ? h('p', { class: 'empty' }, 'None yet.')
      : table({
          heads: ['Name', 'May do', { text: 'Since', class: 'wide-only' }, { text: unseen('Delete'), class: 'tools' }],
          rows: tokens.map((token) => [
            token.name,
            Object.fromEntries(ROLES)[token.role],
            h('td', { class: 'wide-only' }, token.created_at ? momentWords(token.created_at) : ''),
            h(
              'td',
              { class: 'tools' },
              button('×', () => end(token), { class: 'tool', 'aria-label': `End the token ${token.name}` }),
            ),
          ]),
        }),
    h('section', { class: 'below' }, h('h2', {}, 'New token'), tokenForm()),
  );
}

async function end(token) {
  const sure = await confirm(`End the token ${token.name}?`, {
    detail: 'The program that uses it can call no more.',
    yes: 'End it',
    danger: true,
  });
  if (!sure) return;
  try {
    await api.remove(`/tokens/${encodeURIComponent(token.name)}`);
    carry(`Ended: ${token.name}.`);
    go(location.hash);
  } catch (error) {
    tellError(error, () => end(token));
  }
}

function tokenForm() {
  const once = new Once('/tokens');
  const form = new Form(
    [
      text({ name: 'name', label: 'Name', required: true, code: true, max: 63, hint: 'Of the program, as “till”' }),
      choice({ name: 'role', label: 'May do', required: true, choices: ROLES }),
    ],
    {
      submit: 'Make a token',
      onsubmit: async (body) => {
        await once.settle(body);
        const { body: made } = await once.send(body);
        showToken(made);
      },
    },
  );
  return form.element;
}

function showToken(made) {
  if (made.token === null) {
    tell(
      'warn',
      `The token ${made.name} was made, but its answer got lost, and it is shown only once. End it and make another.`,
    );
    return;
  }
  const words = h('p', {}, h('strong', {}, `The token of ${made.name}.`), ' Copy it now: it is never shown again.');
  carry(h('div', {}, words, h('p', {}, h('code', { class: 'token', tabindex: 0 }, made.token))));
  go(location.hash);
}

/* A sheet that takes long to type (an order, a delivery, a count): kept in this browser until the server has
 * it, sent once (see once.js), and every fault of the server shown at its place.
 *
 * Who extends it sets `fields`, by the names of the body's members, and `buttons`, which wait while something
 * is on its way; and has draft(), what is typed or null for nothing, and showLineFault(index, member, detail),
 * false when there is no such line.
 */
import { Problem } from './api.js';
import { h, button } from './dom.js';
import { dropDraft, keepDraft, readDraft } from './drafts.js';
import { clearMessages, sentence, tell, tellError } from './messages.js';
import { Once } from './once.js';
import { go } from './router.js';

const DONE = { post: 'posted', save: 'saved' };

export class TypedSheet {
  #pending; // what is of unknown fate: see once.js

  /* path: where it is posted; draftName: under which it is kept; verb: post or save; isNew: false when something
   * that is stored is changed */
  constructor(path, draftName, { verb, isNew = true }) {
    this.draftName = draftName;
    this.verb = verb;
    this.#pending = isNew ? this.kept?.pending : null;
    this.once = new Once(path, {
      pending: this.#pending,
      remember: (pending) => {
        this.#pending = pending;
        if (pending) this.keep();
      },
    });
    this.busy = false;
  }

  /* What was typed before and did not reach the server, or null. */
  get kept() {
    return readDraft(this.draftName);
  }

  /* Keeps what is typed now. What is of unknown fate is kept even when nothing is typed any more. */
  keep() {
    const draft = this.draft();
    if (draft === null && !this.#pending) this.forget();
    else keepDraft(this.draftName, { ...draft, pending: this.#pending });
  }

  forget() {
    dropDraft(this.draftName);
  }

  startOver() {
    this.forget();
    go(location.hash);
  }

  /* more: what follows, with a space before it */
  tellKept(more = '') {
    tell('note', `What you typed before and did not ${this.verb} is back.${more}`, [
      button('Start over', () => this.startOver()),
    ]);
  }

  clearFaults() {
    clearMessages();
    for (const field of Object.values(this.fields)) {
      if (field.clear) field.clear();
      else field.fault('');
    }
  }

  /* Does work(), unless something is on its way already; again: what "Try again" does. */
  async busily(work, again) {
    if (this.busy) return;
    this.busy = true;
    for (const one of this.buttons) one.setAttribute('aria-disabled', 'true');
    try {
      await work();
    } catch (error) {
      this.explain(error, again);
    }
    this.busy = false;
    for (const one of this.buttons) one.removeAttribute('aria-disabled');
  }

  explain(error, again) {
    if (!(error instanceof Problem) || error.uncertain || !error.errors.length) {
      tellError(error, again);
      return;
    }
    const homeless = error.errors.filter((fault) => !this.#showFault(fault));
    tell(
      'bad',
      h(
        'div',
        {},
        h('p', {}, `Not ${DONE[this.verb]}: look at what is marked.`),
        homeless.map((fault) => h('p', {}, sentence(fault.detail))),
      ),
    );
  }

  #showFault({ pointer, detail }) {
    const [, name, index, member] = pointer.split('/');
    if (name === 'lines' && index !== undefined) return this.showLineFault(Number(index), member, detail);
    const field = this.fields[name];
    field?.fault(sentence(detail));
    field?.focus();
    return field !== undefined;
  }
}

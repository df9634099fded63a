/* Undoing what was posted as a whole: a delivery, a count. Both it and what undoes it stay on record. */
import { ask } from './dialog.js';
import { button } from './dom.js';
import { carry, sentence, tell, tellError } from './messages.js';
import { Once } from './once.js';
import { go } from './router.js';

/* The button. what: "delivery"; detail: what undoing it means; choices: usual reasons; done: said then */
export function undoButton(number, { what, detail, choices, done }) {
  const once = new Once('/movements');
  const reverse = async (reason) => {
    try {
      await once.post({ kind: 'reversed', reverses: number, reason });
    } catch (error) {
      if (error.errors?.length && !error.uncertain) tell('bad', `Not undone: ${sentence(error.errors[0].detail)}`);
      else tellError(error, () => reverse(reason));
      return;
    }
    carry(done);
    go(location.hash);
  };
  const undo = async () => {
    const reason = await ask(`Undo this ${what}?`, { detail, label: 'Why?', choices, yes: 'Undo it' });
    if (reason !== null) await reverse(reason);
  };
  return button(`Undo this ${what}`, undo, { class: 'danger' });
}

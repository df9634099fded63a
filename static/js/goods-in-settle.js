/* Posting what may have been posted before: see once.js. A posting cannot be changed, so when an attempt
 * of unknown fate turns out to have been posted and something else is typed by now, the user decides.
 */
import { button, link } from './dom.js';
import { Once } from './once.js';
import { tell, tellError } from './messages.js';

export const numberOf = (answer) => Number(answer.location.split('/').at(-1));

/* Posts body with once. Resolves with the number of what was posted, or with null when an earlier
 * attempt was posted instead: then it says so. what: "delivery"; page(number): its address; repeat():
 * posts again; busily(work): runs work as a save runs. */
export async function postOnce({ once, body, what, page, repeat, busily }) {
  const earlier = await once.settle(body);
  if (!earlier) return numberOf(await once.send(body));
  const number = numberOf(earlier);
  const undo = new Once('/movements');
  const replace = () =>
    busily(async () => {
      await undo.send({ kind: 'reversed', reverses: number, reason: 'typed anew' });
      repeat();
    });
  tell(
    'bad',
    `What stood here before you changed it did reach the server: it is posted as ${what} ${number}. It is not posted a second time.`,
    [
      link(page(number), `Look at ${what} ${number}`, { class: 'button main' }),
      button('Undo that one and post what stands here now', replace),
    ],
  );
  return null;
}

/* Undoes a posting; again and done are what follows a failure and success. */
export async function reverse(number, reason, { once, done, refused }) {
  try {
    await once.send({ kind: 'reversed', reverses: number, ...(reason ? { reason } : {}) });
  } catch (error) {
    if (error.errors?.length && !error.uncertain) refused(error.errors[0].detail);
    else tellError(error, () => reverse(number, reason, { once, done, refused }));
    return;
  }
  done();
}

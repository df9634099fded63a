/* Posting a sheet whose fate may be unknown: see once.js. A posting cannot be changed, so when an attempt of
 * unknown fate turns out to have been posted and something else is typed by now, the user decides.
 */
import { button, link } from './dom.js';
import { Once } from './once.js';
import { tell } from './messages.js';

const numberOf = (answer) => Number(answer.location.split('/').at(-1));

/* Posts body from sheet (a TypedSheet). Resolves with the number of what was posted, or with null when an
 * earlier attempt was posted instead: then it says so. what: "delivery"; page(number): its address; repeat():
 * posts again. */
export async function postOnce(sheet, body, { what, page, repeat }) {
  const earlier = await sheet.once.settle(body);
  if (!earlier) return numberOf(await sheet.once.send(body));
  const number = numberOf(earlier);
  const undo = new Once('/movements');
  let isUndone = false;
  const replace = () =>
    sheet.busily(async () => {
      if (!isUndone) await undo.send({ kind: 'reversed', reverses: number, reason: 'Typed anew' });
      isUndone = true;
      await repeat();
    }, replace);
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

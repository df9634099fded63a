/* A page that stands open beside the work looks at the server again: from time to time while it is in
 * sight, and when it comes into sight.
 */

/* look() may be asynchronous and fails never; every: milliseconds; until the page of view is left. */
export function lookAgain(view, every, look) {
  const { signal } = view;
  let timer = 0;
  const again = async () => {
    clearTimeout(timer);
    if (signal.aborted) return;
    if (document.visibilityState === 'visible') await look();
    timer = setTimeout(again, every);
  };
  timer = setTimeout(again, every);
  document.addEventListener('visibilitychange', again, { signal });
  window.addEventListener('online', again, { signal });
  signal.addEventListener('abort', () => clearTimeout(timer), { once: true });
}

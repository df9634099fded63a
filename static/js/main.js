/* Where the page begins: routes, signing in, the frame. */
import { onSignedOut } from './api.js';
import { startQueue } from './batch-queue.js';
import { forgetDrafts } from './drafts.js';
import { leaveQuietly, here, setRoutes, show, startRouter } from './router.js';
import { loadSession, session, signOut } from './session.js';
import { markMenu, shell } from './shell.js';
import { signInAgain, signInPage } from './pages/sign-in.js';
import { carry, tellError } from './messages.js';

const DATE = '(\\d{4}-\\d{2}-\\d{2})';
const NAME = '([^/]+)';

const route = (pattern, role, load) => ({ pattern: new RegExp(`^${pattern}$`), role, load });
const book = (name, see) => [
  route(`/${name}`, see, () => import('./pages/book.js').then((module) => ({ show: module.listOf(name) }))),
  route(`/${name}/${NAME}`, see, () => import('./pages/book.js').then((module) => ({ show: module.oneOf(name) }))),
];

const routes = [
  route(`/orders(?:/${DATE})?`, 'counter', () => import('./pages/orders.js')),
  route(`/orders/${DATE}/${NAME}`, 'counter', () => import('./pages/order.js')),
  route(`/production(?:/${DATE})?`, 'counter', () => import('./pages/production.js')),
  route(`/mixing(?:/${DATE})?`, 'baker', () => import('./pages/mixing.js')),
  route(`/mixing/${DATE}/print/(\\d+)`, 'baker', () => import('./pages/print.js')),
  route(`/timetable(?:/${DATE})?`, 'baker', () => import('./pages/timetable.js')),
  route(`/run-sheet(?:/${DATE})?`, 'baker', () => import('./pages/run-sheet.js')),
  route('/water', 'baker', () => import('./pages/water.js')),
  route(`/needs(?:/${DATE})?`, 'baker', () => import('./pages/needs.js')),
  route('/formulas', 'baker', () => import('./pages/formulas.js')),
  route(`/formulas/${NAME}`, 'baker', () => import('./pages/formula.js')),
  route('/products', 'baker', () => import('./pages/products.js')),
  route(`/products/${NAME}`, 'baker', () => import('./pages/product.js')),
  route('/bakery', 'owner', () => import('./pages/bakery.js')),
  ...book('customers', 'counter'),
  ...book('suppliers', 'baker'),
  route('/starters', 'baker', () => import('./pages/starters.js')),
  route('/starters/(\\+new)', 'baker', () => import('./pages/starter-settings.js')),
  route(`/starters/${NAME}`, 'baker', () => import('./pages/starter.js')),
  route(`/starters/${NAME}/settings`, 'baker', () => import('./pages/starter-settings.js')),
  route(`/starters/${NAME}/raising`, 'baker', () => import('./pages/raising.js')),
  ...book('ingredients', 'baker'),
  ...book('people', 'owner'),
  route('/stock', 'baker', () => import('./pages/stock.js')),
  route(`/stock/\\+on/${DATE}`, 'baker', () => import('./pages/stock.js')),
  route('/stock/\\+use', 'baker', () => import('./pages/stock-use.js')),
  route('/stock/\\+values(?:/(\\d{4}-\\d{2}))?', 'owner', () => import('./pages/stock-values.js')),
  route(`/stock/${NAME}`, 'baker', () => import('./pages/stock-item.js')),
  route('/goods-in', 'baker', () => import('./pages/goods-in.js')),
  route('/goods-in/(\\d+)', 'baker', () => import('./pages/delivery.js')),
  route('/count', 'baker', () => import('./pages/count.js')),
  route('/count/(\\d+)', 'baker', () => import('./pages/count-result.js')),
  route('/ordering', 'baker', () => import('./pages/ordering.js')),
  route('/ordering/(\\d+)', 'baker', () => import('./pages/purchase-order.js')),
  route('/trace(?:/(\\d+))?', 'baker', () => import('./pages/trace.js')),
  route(`/trace/day/${DATE}`, 'baker', () => import('./pages/trace-day.js')),
  route('/prices', 'owner', () => import('./pages/prices.js')),
  route(`/prices/${NAME}`, 'owner', () => import('./pages/price.js')),
  ...book('price-lists', 'owner'),
  route('/rates', 'owner', () => import('./pages/rates.js')),
  route('/tokens', 'owner', () => import('./pages/tokens.js')),
];

function drawShell() {
  document.getElementById('shell').replaceChildren(shell(leave));
  document.documentElement.classList.toggle('signed-in', session() !== null);
}

async function leave() {
  try {
    await signOut();
  } catch (error) {
    tellError(error, leave);
    return;
  }
  forgetDrafts();
  leaveQuietly();
  location.hash = '#/';
  location.reload();
}

function shown(hash, title) {
  document.title = `${title} · Morrowloaf`;
  markMenu(hash);
}

/* A bakery without settings can reckon nothing: its owner enters them first. */
function firstPage() {
  if (session().bakery !== null) return '#/orders';
  carry('Welcome. Begin with the bakery itself: its name, its money, its clock, its mixers and scales.');
  return '#/bakery';
}

async function enter() {
  drawShell();
  startRouter();
  onSignedOut(() => signInAgain(drawShell));
  startQueue();
  if (here() === '#/' || (session().bakery === null && session().role === 'owner')) {
    history.replaceState(null, '', firstPage());
  }
  await show({ focus: false });
}

async function begin() {
  setRoutes(routes, shown);
  const page = document.getElementById('page');
  try {
    await loadSession();
  } catch (error) {
    drawShell();
    page.replaceChildren(signInPage(() => location.reload(), error));
    return;
  }
  if (session() !== null) {
    enter();
    return;
  }
  drawShell();
  page.replaceChildren(signInPage(enter));
}

document.addEventListener('session-changed', () => {
  drawShell();
  markMenu(here());
});
begin();

/* Talking to the API: one place that knows fetch, problems, ETags and keys.
 *
 * Every failure is a Problem. It is *uncertain* when the request may have been done without our
 * seeing the answer (no connection, no answer in time, 5xx): then the same request with the same
 * Idempotency-Key is repeated, never a new one.
 */

export const BASE = '/api/v1';
const PATIENCE = 20000; // milliseconds until a silent server counts as gone

export class Problem extends Error {
  constructor({ status = 0, detail, errors = [], retryAfter = null }) {
    super(detail);
    this.name = 'Problem';
    this.status = status;
    this.detail = detail;
    this.errors = errors;
    this.retryAfter = retryAfter;
  }

  get offline() {
    return this.status === 0;
  }

  get uncertain() {
    return this.offline || this.status >= 500;
  }

  get conflict() {
    return this.status === 412;
  }
}

/* 128 random bits; crypto.randomUUID is missing on plain HTTP. */
export function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

let signInAgain = null;

/* What to do when the session has ended: a function whose promise resolves when somebody signed in. */
export function onSignedOut(work) {
  signInAgain = work;
}

function headersFor({ body, etag, create, key }) {
  const headers = { Accept: 'application/json' };
  if (body !== undefined) headers['Content-Type'] = 'application/json';
  if (etag) headers['If-Match'] = etag;
  if (create) headers['If-None-Match'] = '*';
  if (key) headers['Idempotency-Key'] = key;
  return headers;
}

/* Ends with the caller's signal or when patience does. */
function patience(signal) {
  const controller = new AbortController();
  const timer = setTimeout(() => controller.abort(), PATIENCE);
  signal?.addEventListener('abort', () => controller.abort(), { once: true });
  if (signal?.aborted) controller.abort();
  return { signal: controller.signal, end: () => clearTimeout(timer) };
}

async function fetchOnce(method, path, options) {
  const { body } = options;
  const limit = patience(options.signal);
  try {
    return await fetch(BASE + path, {
      method,
      headers: headersFor(options),
      body: body === undefined ? undefined : text(body),
      credentials: 'same-origin',
      cache: 'no-store',
      signal: limit.signal,
    });
  } catch (error) {
    if (options.signal?.aborted) throw error;
    throw new Problem({ detail: 'The server cannot be reached. Nothing that you typed is lost; try again.' });
  } finally {
    limit.end();
  }
}

const text = (body) => (typeof body === 'string' ? body : JSON.stringify(body));

async function problemOf(response) {
  const body = await response.json().catch(() => ({}));
  const detail = body.detail ?? `The server answered with ${response.status}.`;
  const retryAfter = Number(response.headers.get('Retry-After')) || null;
  return new Problem({ status: response.status, detail, errors: body.errors ?? [], retryAfter });
}

async function answerOf(response) {
  const empty = response.status === 204;
  try {
    return {
      status: response.status,
      body: empty ? null : await response.json(),
      etag: response.headers.get('ETag'),
      location: response.headers.get('Location'),
    };
  } catch {
    throw new Problem({ detail: 'The server’s answer broke off. Nothing that you typed is lost; try again.' });
  }
}

async function send(method, path, options = {}) {
  let response = await fetchOnce(method, path, options);
  while (response.status === 401 && signInAgain && !options.signingIn) {
    await signInAgain();
    response = await fetchOnce(method, path, options);
  }
  if (!response.ok) throw await problemOf(response);
  return answerOf(response);
}

export const get = (path, options) => send('GET', path, options);
export const put = (path, body, options) => send('PUT', path, { ...options, body });
export const post = (path, body, options) => send('POST', path, { ...options, body });
export const remove = (path, options) => send('DELETE', path, options);

/* How a PUT says "as long as it is what I read": with the tag of the answer, or, when nothing was stored
 * yet (revision 0), as a first entry. */
export const unlessChanged = ({ etag }) => (/^(W\/)?"0\./.test(etag ?? '') ? { create: true } : { etag });

/* All items of a list, page after page. */
export async function list(path, options) {
  const items = [];
  for (let next = path; next;) {
    const { body } = await get(next, options);
    items.push(...body.items);
    next = body.next ? body.next.slice(BASE.length) : null;
  }
  return items;
}

/* The body of a GET, or null when there is no such thing. */
export async function getOrNull(path, options) {
  try {
    return await get(path, options);
  } catch (error) {
    if (error instanceof Problem && error.status === 404) return null;
    throw error;
  }
}

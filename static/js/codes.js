/* Short names for new things: "Ferryman’s Café" becomes "ferrymans-cafe". */
import * as api from './api.js';

export function codeFrom(name) {
  const base = name
    .normalize('NFKD')
    .replace(/[\u0300-\u036f'’]/g, '')
    .replace(/ß/g, 'ss')
    .replace(/[æÆ]/g, 'ae')
    .replace(/[øØ]/g, 'o');
  return base
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 50)
    .replace(/-+$/, '');
}

/* Creates path/code under the first free of code, code-2, code-3 … Returns the answer. */
export async function createUnder(path, name, body) {
  const stem = codeFrom(name) || 'new';
  for (let n = 1; ; n += 1) {
    try {
      return await api.put(`${path}/${n === 1 ? stem : `${stem}-${n}`}`, body, { create: true });
    } catch (error) {
      if (!(error instanceof api.Problem) || !error.conflict || n === 50) throw error;
    }
  }
}

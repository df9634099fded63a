/* Sums over order lines: pieces, and raw dough by the products' piece weights. */
import { GRAM_PLACES, fromWire } from './number.js';

/* lines: [{ product, pieces }]; known: code -> product. */
export function orderTotals(lines, known) {
  let pieces = 0;
  let mg = 0n;
  for (const line of lines) {
    pieces += line.pieces;
    mg += BigInt(line.pieces) * (fromWire(known.get(line.product)?.piece_g, GRAM_PLACES) ?? 0n);
  }
  return { pieces, mg };
}

/* [code, pieces] over all orders, by code. */
export function piecesByProduct(orders) {
  const sums = new Map();
  for (const line of orders.flatMap((order) => order.lines))
    sums.set(line.product, (sums.get(line.product) ?? 0) + line.pieces);
  return [...sums].sort(([a], [b]) => (a < b ? -1 : 1));
}

/* The lines of an order as product -> pieces; lines of one product are added. */
export function linesByProduct(lines) {
  return new Map(piecesByProduct([{ lines }]));
}

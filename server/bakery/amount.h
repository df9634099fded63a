/* Amounts of a reckoning: exact steps that put their trouble on its list of faults.
 *
 * Grams and money carry fifteen decimals (base/fixed.h). Every step rounds the last of them, and a
 * few dozen steps may stand behind a figure, so what is ten grams in exact arithmetic can arrive as
 * 9.999999999999998. Nothing is therefore judged (a half, a full mixer, the small scale's limit)
 * before it is settled: rounded to the decimals that no error of the last places reaches. Whatever
 * has no more decimals than that in exact arithmetic is judged exactly.
 */
#ifndef MORROWLOAF_BAKERY_AMOUNT_H
#define MORROWLOAF_BAKERY_AMOUNT_H

#include "bakery/production.h"

/* Grams keep ten decimals when settled: seven more than are printed. */
fixed settled_grams(fixed grams);

/* Zeroed memory of the reckoning's arena; NULL with FAIL_UNAVAILABLE on the list. */
void *amount_memory(const struct reckoning *reckoning, size_t count, size_t size);

/* FAIL_INVALID at "": the amounts are too large. Returns false. */
bool amount_too_large(const struct reckoning *reckoning);
/* The same where there is no reckoning. */
bool amounts_too_large(struct fails *fails);

/* *out = a x b / c. */
bool amount_scaled(const struct reckoning *reckoning, fixed a, fixed b, fixed c, fixed *out);
/* *sum += more. */
bool amount_add(const struct reckoning *reckoning, fixed *sum, fixed more);
/* *sum += a x b / c. */
bool amount_add_scaled(const struct reckoning *reckoning, fixed *sum, fixed a, fixed b, fixed c);

/* The same for whole numbers: pieces, milligrams, millionths. */
bool amount_add_whole(const struct reckoning *reckoning, int64_t *sum, int64_t more);
bool amount_multiply_whole(const struct reckoning *reckoning, int64_t a, int64_t b, int64_t *out);

/* As printed: settled, then rounded half to even. */
bool amount_milligrams(const struct reckoning *reckoning, fixed grams, int64_t *mg);
bool amount_micros(const struct reckoning *reckoning, fixed money, int64_t *micros);

/* *grams += pieces of that weight each. */
bool amount_add_pieces(const struct reckoning *reckoning, fixed *grams, int64_t pieces, int64_t mg);
/* What must be mixed of a formula so that grams of it come out: divided by one less its handling
 * loss. */
bool amount_with_loss(const struct reckoning *reckoning, size_t formula, fixed grams, fixed *mixed);
/* The lines of a formula by weight, as shares; NULL with FAIL_INTERNAL when the formula is faulty,
 * which a stored one never is. */
const fixed *amount_lines(const struct reckoning *reckoning, size_t formula);

#endif

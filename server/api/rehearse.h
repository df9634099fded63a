/* Rehearsing a change of the catalogue before it is stored: with the changed thing in its place,
 * does everything still hang together?
 *
 * A fault of the changed thing itself is the body's fault (FAIL_INVALID at its pointer); a fault
 * that it would cause elsewhere is a conflict that names what would break.
 */
#ifndef MORROWLOAF_API_REHEARSE_H
#define MORROWLOAF_API_REHEARSE_H

#include "bakery/breakdown.h"

struct request;

/* Each loads the catalogue, puts the thing in and adds faults to the request's list. False only
 * when the book could not be read or memory is short. */
bool rehearse_ingredient(struct request *request, const struct ingredient *ingredient);
bool rehearse_starter(struct request *request, const struct starter *starter);
bool rehearse_product(struct request *request, const struct product *product);
/* Leaves the catalogue and its breakdowns for showing the formula; they are valid when there was no
 * fault. */
bool rehearse_formula(struct request *request, const struct formula *formula,
                      struct catalogue *catalogue, struct breakdowns *breakdowns);

#endif

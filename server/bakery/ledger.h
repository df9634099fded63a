/* What the stock is worth: first in first out and moving average, side by side (IAS 2, paragraphs
 * 25 and 27: cost of interchangeable items by FIFO or weighted average, the average worked out
 * anew with each delivery).
 *
 * Movements of one ingredient are walked in the order (date, number); only where a day's order
 * would take more than there is (a movement was entered late, and another one reversed) what came
 * in on that day goes first. A movement that was reversed, and its reversal, are passed over, as if
 * neither had been. What is moved to another place changes nothing. All values are whole millionths
 * of the currency; a part of a layer or of the average is rounded half to even at a millionth, and
 * what empties a layer or the stock takes all that is left of it, so that opening + in - out =
 * closing holds to the last digit.
 *
 *   received        a layer of the lot's price; the average takes price and amount in
 *   mixed, fed, used, wasted, counted short
 *                   FIFO: from the oldest layers in the order of receipt, whichever lot was really
 *                   taken; average: value x amount / amount on hand
 *   returned        FIFO: from the lot's own layer as long as it has any, then from the oldest;
 *                   average: as above
 *   counted over    comes in at what the lot cost when it came in (price x amount / received), as
 *                   part of the lot's own layer, which stands at the lot's place in the order of
 *                   receipt
 *
 * The order of receipt is that in which lots first come in on the walk. A lot whose price is not
 * known makes values unknown as long as any of its layer is there (FIFO), or until the stock has
 * been empty (average): unknown is never zero.
 */
#ifndef MORROWLOAF_BAKERY_LEDGER_H
#define MORROWLOAF_BAKERY_LEDGER_H

#include "bakery/model.h"
#include "bakery/stock.h"

/* A lot as far as its worth is concerned. */
struct ledger_lot {
    int64_t lot;
    int64_t received; /* amount, as it came in */
    struct money price;
};

struct ledger_move {
    int64_t number;
    date date;
    enum stock_kind kind; /* of a reversal: of what it reverses */
    int64_t lot;
    int64_t delta;
    bool skipped; /* reversed, or a reversal */
};

/* The history of one ingredient; moves by (date, number). */
struct ledger {
    size_t ingredient;
    const struct ledger_lot *lots; /* by lot number */
    size_t lot_count;
    const struct ledger_move *moves;
    size_t move_count;
};

struct ledger_value {
    int64_t amount;
    struct money fifo;
    struct money average;
};

/* What happened between two dates; amounts and values are never negative, counted may be. */
struct ledger_flow {
    struct ledger_value opening;
    struct ledger_value received, used /* mixed, fed, used */, wasted, returned;
    struct ledger_value counted; /* over less short */
    struct ledger_value closing;
};

/* What is on hand at the end of a day, and its worth. */
bool ledger_on(const struct ledger *ledger, struct arena *arena, struct fails *fails, date day,
               struct ledger_value *out);

/* Opening at the beginning of first, flows, and closing at the end of last. Opening + received +
 * counted - used - wasted - returned = closing, in amount and in both values, exactly, where all of
 * them are known. A flow of which any part is not known is not known; opening and closing are what
 * ledger_on() says, so that one month's closing is the next one's opening. */
bool ledger_between(const struct ledger *ledger, struct arena *arena, struct fails *fails,
                    date first, date last, struct ledger_flow *out);

/* Adds the values of more to those of sum; amounts of different ingredients do not add. */
bool ledger_flow_add(struct ledger_flow *sum, const struct ledger_flow *more, struct fails *fails);

/* The days from first to last on which it costs another amount than on the day before, ascending.
 */
bool ledger_price_days(const struct ledger *ledger, struct arena *arena, struct fails *fails,
                       enum cost_by method, date first, date last, date **days, size_t *count);

#endif

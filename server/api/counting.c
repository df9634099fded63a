/* Counting: every difference becomes a movement. Counts of one posting are worked through one after
 * the other; what one of them changes, the next one sees. */
#include "api/counting.h"

#include "bakery/prices.h"
#include "base/arena.h"
#include "http/request.h"
#include "store/count.h"
#include "store/lot.h"
#include "store/price.h"
#include "store/supply.h"

#include <string.h>

struct counting {
    struct request *request;
    struct stock_post *post;
    struct posting *posting;
    const struct supply *supplies; /* in force on the day */
};

/* --- what the book says --- */

static bool counts_in(const struct counted *counted, const struct shelf *shelf)
{
    return shelf->ingredient == counted->ingredient &&
           (counted->lot == 0 || shelf->lot == counted->lot) &&
           (counted->place == NULL || strcmp(shelf->place, counted->place) == 0);
}

static int64_t expected_of(const struct stock_post *post, const struct counted *counted)
{
    int64_t sum = 0;
    for (size_t i = 0; i < post->shelf_count; i++)
        if (counts_in(counted, &post->shelves[i])) sum += post->shelves[i].on_day;
    return sum;
}

/* What was found or missed, on the shelves in memory, which have room for one more a count. What is
 * missed is no longer available since it was taken. */
static void move_shelf(struct stock_post *post, const struct stock_move *move)
{
    struct shelf *shelf = stock_post_shelf(post, move);
    if (shelf == NULL) {
        shelf = &post->shelves[post->shelf_count++];
        *shelf = (struct shelf){
            .ingredient = move->ingredient, .lot = move->lot, .place = move->place};
        shelf->received_on = DATE_FIRST; /* it was there, as was just found */
    }
    shelf->on_day += move->delta;
    if (move->delta > 0) shelf->available += move->delta;
}

/* --- less than that --- */

static bool post_short(struct counting *counting, const struct counted *counted, int64_t missing)
{
    struct stock_post *post = counting->post;
    struct stock_move *moves;
    size_t count;
    struct stock_take take = {.ingredient = counted->ingredient,
                              .amount = missing,
                              .lot = counted->lot,
                              .place = counted->place,
                              .pointer = counted->pointer,
                              .lot_pointer = counted->lot_pointer};
    if (!stock_post_take(counting->request, post, counting->posting->date, true, &take, 1, &moves,
                         &count))
        return false;
    for (size_t i = 0; i < count; i++)
        move_shelf(post, &moves[i]);
    return moves_add(counting->request->tx, counting->posting, STOCK_COUNTED, &post->day.catalogue,
                     moves, count);
}

/* --- more than that --- */

/* Where there is most of a lot (lot 0: of the newest that had come in). */
static const struct shelf *fullest_shelf(const struct stock_post *post, date day,
                                         const struct counted *counted)
{
    const struct shelf *best = NULL;
    for (size_t i = 0; i < post->shelf_count; i++) {
        const struct shelf *shelf = &post->shelves[i];
        if (shelf->ingredient != counted->ingredient || shelf->received_on > day ||
            (counted->lot != 0 && shelf->lot != counted->lot))
            continue;
        if (best == NULL || shelf->lot > best->lot ||
            (shelf->lot == best->lot && shelf->on_day > best->on_day))
            best = shelf;
    }
    return best;
}

/* A book is begun: what is there came from nobody knows where, and costs what it costs now. */
static bool add_first_lot(struct counting *counting, size_t ingredient, int64_t amount,
                          int64_t *number)
{
    const struct reckoning *reckoning = &counting->post->day.reckoning;
    const struct price *price = price_of(reckoning, ingredient);
    struct lot lot = {.ingredient = reckoning->catalogue->ingredients[ingredient].code,
                      .posting = counting->posting->number,
                      .received_on = counting->posting->date,
                      .received = amount,
                      .pack = counting->supplies[ingredient].pack,
                      .price = {.known = price != NULL}};
    if (price != NULL && !price_of_amount(reckoning, price, amount, &lot.price.micros))
        return false;
    if (!lot_add(counting->request->tx, &lot)) return false;
    *number = lot.number;
    return true;
}

/* The newest lot of the ingredient that had come in, also when nothing is left of it. */
static bool newest_lot(struct counting *counting, const struct counted *counted, int64_t more,
                       int64_t *number)
{
    struct lot_filter filter = {
        .ingredient = counting->post->day.catalogue.ingredients[counted->ingredient].code,
        .standing = true,
        .by = counting->posting->date,
        .limit = 1};
    struct lot *lots;
    size_t count;
    if (!lot_select(counting->request->tx, &filter, &lots, &count)) return false;
    if (count == 0) return add_first_lot(counting, counted->ingredient, more, number);
    *number = lots[0].number;
    return true;
}

static bool post_over(struct counting *counting, const struct counted *counted, int64_t more)
{
    struct stock_post *post = counting->post;
    const struct shelf *shelf = fullest_shelf(post, counting->posting->date, counted);
    struct stock_move move = {
        .ingredient = counted->ingredient, .lot = counted->lot, .delta = more};
    if (move.lot == 0 && shelf != NULL) move.lot = shelf->lot;
    if (move.lot == 0 && !newest_lot(counting, counted, more, &move.lot)) return false;
    move.place = counted->place != NULL ? counted->place
                 : shelf != NULL        ? shelf->place
                                        : counting->supplies[counted->ingredient].place;
    move_shelf(post, &move);
    return moves_add(counting->request->tx, counting->posting, STOCK_COUNTED, &post->day.catalogue,
                     &move, 1);
}

/* --- a count --- */

static bool check_lot(struct counting *counting, const struct counted *counted)
{
    struct lot_filter filter = {
        .number = counted->lot, .standing = true, .by = counting->posting->date, .limit = 1};
    struct fails *fails = &counting->request->fails;
    struct lot *lots;
    size_t count;
    if (counted->lot == 0) return true;
    if (!lot_select(counting->request->tx, &filter, &lots, &count)) return false;
    const char *code = counting->post->day.catalogue.ingredients[counted->ingredient].code;
    if (count == 0)
        return fail_add(fails, FAIL_INVALID, counted->lot_pointer,
                        "is no lot that had come in by that day");
    return strcmp(lots[0].ingredient, code) == 0 ||
           fail_add(fails, FAIL_INVALID, counted->lot_pointer, "is a lot of another ingredient");
}

static bool post_one(struct counting *counting, struct counted *counted)
{
    if (!check_lot(counting, counted)) return false;
    counted->expected = expected_of(counting->post, counted);
    int64_t more = counted->amount - counted->expected;
    if (more < 0) return post_short(counting, counted, -more);
    return more == 0 || post_over(counting, counted, more);
}

static bool keep_lines(struct counting *counting, const struct counted *counts, size_t count)
{
    struct request *request = counting->request;
    struct count_line *lines = arena_array(request->arena, count, sizeof *lines);
    if (lines == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; i < count; i++)
        lines[i] = (struct count_line){
            .ingredient = counting->post->day.catalogue.ingredients[counts[i].ingredient].code,
            .lot = counts[i].lot,
            .place = counts[i].place,
            .expected = counts[i].expected,
            .counted = counts[i].amount};
    return count_lines_add(request->tx, counting->posting->number, lines, count);
}

/* Each count can find a lot where there was none. */
static bool make_room(struct request *request, struct stock_post *post, size_t count)
{
    struct shelf *shelves = arena_array(request->arena, post->shelf_count + count, sizeof *shelves);
    if (shelves == NULL) return fail_memory(&request->fails);
    memcpy(shelves, post->shelves, post->shelf_count * sizeof *shelves);
    post->shelves = shelves;
    return true;
}

bool counting_post(struct request *request, struct stock_post *post, struct posting *posting,
                   struct counted *counts, size_t count)
{
    struct counting counting = {.request = request, .post = post, .posting = posting};
    struct catalogue *catalogue = &post->day.catalogue;
    bool right = true;
    for (size_t i = 0; i < count; i++)
        post->set.in[counts[i].ingredient] = true;
    posting->kind = STOCK_COUNTED;
    counting.supplies = supplies_load(request->tx, catalogue, posting->date);
    if (counting.supplies == NULL || !price_load(request->tx, catalogue, posting->date) ||
        !stock_post_begin(request, post) || !stock_post_hold(request, post, posting->date, 0) ||
        !make_room(request, post, count) || !posting_add(request->tx, posting))
        return false;
    for (size_t i = 0; i < count; i++)
        right = post_one(&counting, &counts[i]) && right;
    return right && keep_lines(&counting, counts, count);
}

/* /movements: what else happens to the stock, and the record of all that ever did. */
#include "api/amount_body.h"
#include "api/counting.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/number.h"
#include "api/posting_body.h"
#include "api/query.h"
#include "api/reversal.h"
#include "api/stock_post.h"
#include "base/arena.h"

#include <inttypes.h>
#include <string.h>

/* The kinds that can be told here, as enum stock_kind; the others come with deliveries, batches and
 * feeds. */
static const char *const told_kinds[] = {"used",  "wasted",   "returned", "counted",
                                         "moved", "reversed", NULL};
enum { TOLD_FROM = STOCK_USED };

struct movement {
    struct posting posting;
    struct stock_take take;
    const char *to; /* place that something is moved to */
};

/* --- reading --- */

static const char *read_place(struct json_object *body, const char *name, enum json_need need)
{
    return json_line(body, name, need, PLACE_MAX_CHARACTERS);
}

static void read_amount(struct json_object *body, struct stock_post *post,
                        struct movement *movement)
{
    struct stock_take *take = &movement->take;
    const struct catalogue *catalogue = &post->day.catalogue;
    take->ingredient = stock_post_ingredient(body, catalogue);
    if (take->ingredient == NOT_FOUND) return;
    enum ingredient_unit unit = catalogue->ingredients[take->ingredient].unit;
    int64_t least = movement->posting.kind == STOCK_COUNTED ? 0 : 1;
    take->amount = amount_read(body, JSON_REQUIRED, unit, least);
    take->pointer = json_path(body, amount_member(unit));
}

static void read_change(struct json_object *body, struct stock_post *post,
                        struct movement *movement)
{
    struct stock_take *take = &movement->take;
    bool moved = movement->posting.kind == STOCK_MOVED;
    read_amount(body, post, movement);
    movement->posting.date = stock_post_date(body, "date", JSON_OPTIONAL, post->today);
    take->lot = json_whole(body, "lot", moved ? JSON_REQUIRED : JSON_OPTIONAL, 1, INT64_MAX, 0);
    take->lot_pointer = json_path(body, "lot");
    take->place = read_place(body, "place", JSON_OPTIONAL);
    if (moved) movement->to = read_place(body, "to", JSON_REQUIRED);
    if (moved && movement->to != NULL && take->place != NULL &&
        strcmp(movement->to, take->place) == 0)
        json_fault(body, "to", "is where it stands");
}

/* By its number; or by what was told, as long as it is the last of that ingredient and amount. */
static void read_reversal(struct json_object *body, struct stock_post *post,
                          struct movement *movement)
{
    struct posting *posting = &movement->posting;
    struct stock_take *take = &movement->take;
    bool numbered = json_has(body, "reverses") || !json_has(body, "ingredient");
    if (numbered) {
        posting->reverses = json_whole(body, "reverses", JSON_REQUIRED, 1, INT64_MAX, 1);
        return;
    }
    read_amount(body, post, movement);
    posting->date = stock_post_date(body, "date", JSON_OPTIONAL, post->today);
    take->lot = json_whole(body, "lot", JSON_OPTIONAL, 1, INT64_MAX, 0);
}

static bool read_movement(struct request *request, struct stock_post *post,
                          struct movement *movement)
{
    struct json_node root;
    struct json_object body;
    struct posting *posting = &movement->posting;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    posting->kind = (enum stock_kind)(TOLD_FROM +
                                      json_word(&body, "kind", JSON_REQUIRED, told_kinds, 0));
    posting->reason = json_text(&body, "reason", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
    if (posting->kind == STOCK_REVERSED)
        read_reversal(&body, post, movement);
    else
        read_change(&body, post, movement);
    return json_object_close(&body);
}

/* --- posting --- */

/* What leaves a place comes to another: of the same lot, part by part. */
static bool add_arrivals(struct request *request, struct movement *movement,
                         struct stock_move **moves, size_t *count)
{
    struct stock_move *both = arena_array(request->arena, 2 * *count, sizeof *both);
    if (both == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; i < *count; i++) {
        both[2 * i] = (*moves)[i];
        both[2 * i + 1] = (*moves)[i];
        both[2 * i + 1].place = movement->to;
        both[2 * i + 1].delta = -(*moves)[i].delta;
    }
    *moves = both;
    *count *= 2;
    return true;
}

static bool not_kept(struct request *request, const struct stock_post *post, size_t ingredient)
{
    return fail_add(&request->fails, FAIL_INVALID, "/ingredient",
                    "no stock is kept of %s yet: enter goods in or count it first",
                    post->day.catalogue.ingredients[ingredient].name);
}

/* Of what place a lot is moved when none is told: the only one. */
static bool find_place(struct request *request, const struct stock_post *post,
                       struct movement *movement)
{
    struct stock_take *take = &movement->take;
    if (movement->posting.kind != STOCK_MOVED || take->place != NULL) return true;
    for (size_t i = 0; i < post->shelf_count; i++) {
        const struct shelf *shelf = &post->shelves[i];
        if (shelf->lot != take->lot || shelf->available == 0) continue;
        if (take->place != NULL)
            return fail_add(&request->fails, FAIL_INVALID, "/place",
                            "the lot stands in several places: say from which");
        take->place = shelf->place;
    }
    return take->place == NULL || strcmp(take->place, movement->to) != 0 ||
           fail_add(&request->fails, FAIL_INVALID, "/to", "is where it stands");
}

static bool post_taking(struct request *request, struct stock_post *post, struct movement *movement)
{
    struct posting *posting = &movement->posting;
    struct stock_move *moves;
    size_t count;
    post->set.in[movement->take.ingredient] = true;
    if (!stock_post_hold(request, post, posting->date, 0)) return false;
    if (!post->set.in[movement->take.ingredient])
        return not_kept(request, post, movement->take.ingredient);
    return find_place(request, post, movement) &&
           stock_post_take(request, post, posting->date, posting->kind != STOCK_USED,
                           &movement->take, 1, &moves, &count) &&
           (posting->kind != STOCK_MOVED || add_arrivals(request, movement, &moves, &count)) &&
           posting_add(request->tx, posting) &&
           moves_add(request->tx, posting, posting->kind, &post->day.catalogue, moves, count);
}

static bool post_found(struct request *request, struct stock_post *post, struct movement *movement)
{
    struct counted counted = {.ingredient = movement->take.ingredient,
                              .lot = movement->take.lot,
                              .place = movement->take.place,
                              .amount = movement->take.amount,
                              .pointer = movement->take.pointer,
                              .lot_pointer = movement->take.lot_pointer};
    return counting_post(request, post, &movement->posting, &counted, 1);
}

static bool find_told(struct request *request, const struct stock_post *post,
                      struct movement *movement)
{
    struct posting *posting = &movement->posting;
    const struct stock_take *take = &movement->take;
    if (posting->reverses > 0) return true;
    struct told told = {.ingredient = post->day.catalogue.ingredients[take->ingredient].code,
                        .amount = take->amount,
                        .date = posting->date,
                        .lot = take->lot};
    return posting_told(request->tx, &told, &posting->reverses) &&
           (posting->reverses > 0 ||
            fail_add(&request->fails, FAIL_INVALID, take->pointer,
                     "no such amount was used, wasted or sent back on that day"));
}

static bool post(struct request *request, struct stock_post *at, struct movement *movement)
{
    struct posting *posting = &movement->posting;
    if (posting->kind == STOCK_REVERSED)
        return find_told(request, at, movement) &&
               posting_reverse(request, posting->reverses, posting->reason, false, posting);
    return posting->kind == STOCK_COUNTED ? post_found(request, at, movement)
                                          : post_taking(request, at, movement);
}

static const struct posting_resource movements = {"movement", STOCK_KINDS, postings_write};

bool post_movement(struct request *request)
{
    struct stock_post at;
    struct movement movement = {.to = NULL};
    if (!stock_post_open(request, &at) || !read_movement(request, &at, &movement) ||
        !post(request, &at, &movement))
        return false;
    reply_location(request, "/api/v1/movements/%" PRId64, movement.posting.number);
    return posting_answer(request, &movements, 201, movement.posting.number);
}

/* --- showing --- */

bool get_movement(struct request *request)
{
    return posting_get(request, &movements);
}

static bool query_lot(struct request *request, int64_t *lot)
{
    const char *text = request_query(request, "lot");
    return text == NULL || number_parse(text, lot) ||
           fail_add(&request->fails, FAIL_INVALID, "", "lot must be the number of a lot");
}

static bool query_kind(struct request *request, const char **kind)
{
    *kind = request_query(request, "kind");
    for (size_t i = 0; stock_kinds[i] != NULL; i++)
        if (*kind == NULL || strcmp(*kind, stock_kinds[i]) == 0) return true;
    return fail_add(&request->fails, FAIL_INVALID, "", "kind is none that a movement can have");
}

bool list_movements(struct request *request)
{
    struct posting_filter filter = {
        .ingredient = request_query(request, "ingredient"), .from = DATE_FIRST, .to = DATE_LAST};
    return query_date(request, "from", &filter.from) && query_date(request, "to", &filter.to) &&
           query_lot(request, &filter.lot) && query_kind(request, &filter.kind) &&
           posting_list(request, &movements, &filter);
}

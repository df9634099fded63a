/* What a feed takes from the stock. */
#include "api/starter_feed.h"

#include "api/reversal.h"
#include "api/stock_post.h"
#include "bakery/blend.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "http/request.h"
#include "store/stock.h"

#include <string.h>

enum { FEED_LOTS_MAX = 20 };

void feed_lots_read(struct json_object *body, struct feed_lots *lots)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "lots", JSON_OPTIONAL, 0, FEED_LOTS_MAX, &list);
    lots->items = arena_array(body->node.arena, list.length, sizeof *lots->items);
    while (lots->items != NULL && json_list_next(&list, &item)) {
        struct json_object in;
        json_object_open(&in, item);
        lots->items[lots->count++] = (struct feed_lot){
            .ingredient = json_code(&in, "ingredient", JSON_REQUIRED),
            .lot = json_whole(&in, "lot", JSON_REQUIRED, 1, INT64_MAX, 1),
            .pointer = json_path(&in, "lot"),
            .ingredient_pointer = json_path(&in, "ingredient")};
        json_object_close(&in);
    }
}

static const struct feed_lot *chosen_lot(const struct feed_lots *lots, const char *ingredient)
{
    for (size_t i = 0; i < lots->count; i++)
        if (strcmp(lots->items[i].ingredient, ingredient) == 0) return &lots->items[i];
    return NULL;
}

/* Lots of what the blend has not. */
static bool check_lots(struct request *request, const struct starter *starter,
                       const struct feed_lots *lots)
{
    for (size_t i = 0; i < lots->count; i++) {
        bool fed = false;
        for (size_t k = 0; k < starter->flour_count; k++)
            fed = fed || strcmp(starter->flours[k].ingredient, lots->items[i].ingredient) == 0;
        if (fed && chosen_lot(lots, lots->items[i].ingredient) != &lots->items[i])
            fail_add(&request->fails, FAIL_INVALID, lots->items[i].ingredient_pointer,
                     "stands here twice");
        if (!fed)
            fail_add(&request->fails, FAIL_INVALID, lots->items[i].ingredient_pointer,
                     "is a flour that this starter is not fed with");
    }
    return !fails_any(&request->fails);
}

/* Flour divided by the blend; the last flour takes what rounding leaves. */
static struct stock_take *takes_of(struct request *request, const struct starter *starter,
                                   int64_t flour_mg, const struct feed_lots *lots)
{
    struct stock_take *takes = arena_array(request->arena, starter->flour_count, sizeof *takes);
    int64_t left_mg = flour_mg;
    for (size_t i = 0; takes != NULL && i < starter->flour_count; i++) {
        const struct flour_share *share = &starter->flours[i];
        const struct feed_lot *lot = chosen_lot(lots, share->ingredient);
        bool last = i + 1 == starter->flour_count;
        int64_t mg = last ? left_mg : blend_part_mg(flour_mg, share->pct);
        left_mg -= mg;
        takes[i] = (struct stock_take){.ingredient = share->index,
                                       .amount = mg,
                                       .lot = lot != NULL ? lot->lot : 0,
                                       .pointer = "/flour_g",
                                       .lot_pointer = lot != NULL ? lot->pointer : "/lots"};
    }
    return takes;
}

bool starter_feed_take(struct request *request, const struct starter_pot *pot,
                       const struct pot_entry *entry, const struct feed_lots *lots)
{
    const struct starter *starter = pot->starter;
    struct posting posting = {
        .kind = STOCK_FED, .starter = starter->code, .log_entry = entry->number};
    struct stock_post post;
    struct stock_move *moves;
    size_t count;
    int minutes;
    if (!check_lots(request, starter, lots) || !stock_post_open(request, &post)) return false;
    struct stock_take *takes = takes_of(request, starter, entry->flour_mg, lots);
    if (takes == NULL) return fail_memory(&request->fails);
    zone_wall(post.day.reckoning.zone, entry->at, &posting.date, &minutes);
    if (!stock_post_take_kept(request, &post, posting.date, takes, starter->flour_count, &moves,
                              &count))
        return false;
    return count == 0 ||
           (posting_add(request->tx, &posting) &&
            moves_add(request->tx, &posting, STOCK_FED, &post.day.catalogue, moves, count));
}

bool starter_feed_give_back(struct request *request, const char *starter, int64_t entry)
{
    struct posting reversal;
    int64_t number;
    if (!posting_of_feed(request->tx, starter, entry, &number)) return false;
    return number == 0 ||
           posting_reverse(request, number, "the feed was taken back", true, &reversal);
}

/* What all postings to the stock have in common. */
#include "api/stock_post.h"

#include "bakery/catalogue.h"
#include "base/arena.h"
#include "http/request.h"
#include "store/bakery.h"

#include <string.h>

bool stock_post_open(struct request *request, struct stock_post *post)
{
    *post = (struct stock_post){.today = 0};
    if (!day_open(request, &post->day)) return false;
    post->today = today_of(&post->day);
    post->set.catalogue = &post->day.catalogue;
    post->set.in = arena_array(request->arena, post->day.catalogue.ingredient_count,
                               sizeof *post->set.in);
    return post->set.in != NULL || fail_memory(&request->fails);
}

date stock_post_date(struct json_object *body, const char *name, enum json_need need, date today)
{
    date day = today;
    if (json_date(body, name, need, &day) && day > today + DAYS_AHEAD_MAX)
        json_fault(body, name, "is more than two years ahead");
    return day;
}

size_t stock_post_ingredient(struct json_object *body, const struct catalogue *catalogue)
{
    static const char *const unread[] = {"g", "pieces", "pack_g", "pack_pieces", "packs"};
    const char *code = json_code(body, "ingredient", JSON_REQUIRED);
    size_t ingredient = code != NULL ? catalogue_ingredient(catalogue, code) : NOT_FOUND;
    if (ingredient != NOT_FOUND) return ingredient;
    if (code != NULL) json_fault(body, "ingredient", "names an ingredient that does not exist");
    for (size_t i = 0; i < sizeof unread / sizeof *unread; i++)
        json_has(body, unread[i]);
    return NOT_FOUND;
}

/* Rows of the book are begun by one at a time: whoever holds some of them could else wait for one
 * that another has just begun. */
bool stock_post_begin(struct request *request, struct stock_post *post)
{
    return bakery_lock(request->tx) && stock_begin(request->tx, &post->set);
}

bool stock_post_hold(struct request *request, struct stock_post *post, date day, int64_t after)
{
    return stock_hold(request->tx, &post->set) &&
           shelves_load(request->tx, &post->set, day, after, &post->shelves, &post->shelf_count);
}

struct shelf *stock_post_shelf(const struct stock_post *post, const struct stock_move *move)
{
    for (size_t i = 0; i < post->shelf_count; i++) {
        struct shelf *shelf = &post->shelves[i];
        if (shelf->lot == move->lot && strcmp(shelf->place, move->place) == 0) return shelf;
    }
    return NULL;
}

bool stock_post_take(struct request *request, struct stock_post *post, date day, bool allow_held,
                     const struct stock_take *takes, size_t take_count, struct stock_move **moves,
                     size_t *move_count)
{
    struct stock_shelves shelves = {.arena = request->arena,
                                    .fails = &request->fails,
                                    .catalogue = &post->day.catalogue,
                                    .items = post->shelves,
                                    .count = post->shelf_count,
                                    .day = day,
                                    .allow_held = allow_held};
    return stock_take(&shelves, takes, take_count, moves, move_count);
}

/* Leaves the takes of what stock is kept of; how many. */
static size_t keep(struct request *request, const struct stock_post *post, struct stock_take *takes,
                   size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        struct stock_take take = takes[i];
        if (take.ingredient == NOT_FOUND || take.amount == 0) continue;
        if (post->set.in[take.ingredient])
            takes[kept++] = take;
        else if (take.lot != 0)
            fail_add(&request->fails, FAIL_INVALID, take.lot_pointer,
                     "is no lot: no stock is kept of this");
    }
    return kept;
}

bool stock_post_take_kept(struct request *request, struct stock_post *post, date day,
                          struct stock_take *takes, size_t take_count, struct stock_move **moves,
                          size_t *move_count)
{
    for (size_t i = 0; i < take_count; i++)
        if (takes[i].ingredient != NOT_FOUND) post->set.in[takes[i].ingredient] = true;
    if (!stock_post_hold(request, post, day, 0)) return false;
    size_t kept = keep(request, post, takes, take_count);
    return stock_post_take(request, post, day, false, takes, kept, moves, move_count) &&
           !fails_any(&request->fails);
}

/* Undoing a posting. */
#include "api/reversal.h"

#include "api/posting_body.h"
#include "api/starter_taking.h"
#include "api/stock_post.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "http/request.h"
#include "store/batch.h"

#include <inttypes.h>

static bool fault(struct request *request, enum fail_code code, const char *text)
{
    return fail_add(&request->fails, code, "/reverses", "%s", text);
}

static bool may_be_reversed(struct request *request, const struct posting *posting, bool allow_fed)
{
    if (posting == NULL) return fault(request, FAIL_INVALID, "there is no such movement");
    if (posting->kind == STOCK_REVERSED)
        return fault(request, FAIL_INVALID, "is a reversal itself");
    if (posting->reversed_by > 0) return fault(request, FAIL_CONFLICT, "is reversed already");
    if (posting->kind == STOCK_FED && !allow_fed)
        return fault(request, FAIL_INVALID,
                     "is a feed: reverse the entry in the log of its starter");
    return true;
}

/* --- its movements, the other way round --- */

struct undoing {
    struct stock_post post;
    const struct posting *posting;
    struct moved *moved;
    size_t count;
    struct stock_move *moves;
};

static bool load(struct request *request, struct undoing *undoing)
{
    const struct catalogue *catalogue = &undoing->post.day.catalogue;
    if (!moved_select(request->tx, &undoing->posting->number, 1, &undoing->moved, &undoing->count))
        return false;
    undoing->moves = arena_array(request->arena, undoing->count, sizeof *undoing->moves);
    if (undoing->moves == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; i < undoing->count; i++) {
        const struct moved *moved = &undoing->moved[i];
        size_t ingredient = catalogue_ingredient(catalogue, moved->ingredient);
        undoing->post.set.in[ingredient] = true;
        undoing->moves[i] = (struct stock_move){.ingredient = ingredient,
                                                .lot = moved->lot,
                                                .place = moved->place,
                                                .delta = -moved->delta,
                                                .reverses = moved->number};
    }
    return true;
}

static bool used_already(struct request *request, int64_t lot)
{
    return fail_add(&request->fails, FAIL_INVALID, "/reverses",
                    "something of lot %" PRId64 " was used already", lot);
}

/* What came in by the posting must still be there, at every moment since: all that it brought to a
 * shelf together. What the reversal does to a shelf is done in memory, too: only what is short
 * needs to be known. */
static bool check_moves(struct request *request, struct undoing *undoing)
{
    struct stock_post *post = &undoing->post;
    for (size_t i = 0; i < undoing->count; i++) {
        const struct stock_move *move = &undoing->moves[i];
        struct shelf *shelf = stock_post_shelf(post, move);
        if (shelf != NULL)
            shelf->available += move->delta;
        else if (move->delta < 0)
            return used_already(request, move->lot);
    }
    for (size_t i = 0; i < post->shelf_count; i++)
        if (post->shelves[i].available < 0) return used_already(request, post->shelves[i].lot);
    return true;
}

static bool reverse_takings(struct request *request, const struct undoing *undoing)
{
    struct batch_taking *takings;
    size_t count;
    if (undoing->posting->kind != STOCK_MIXED) return true;
    if (!batch_takings(request->tx, undoing->posting->number, &takings, &count)) return false;
    for (size_t i = 0; i < count; i++)
        if (!starter_taking_reverse(request, &undoing->post.day, takings[i].starter,
                                    takings[i].log_entry, "the batch was taken back"))
            return false;
    return true;
}

/* The last of its movements: what is undone must have been left after it. */
static int64_t last_number(const struct undoing *undoing)
{
    return undoing->count > 0 ? undoing->moved[undoing->count - 1].number : 0;
}

bool posting_reverse(struct request *request, int64_t number, const char *reason, bool allow_fed,
                     struct posting *reversal)
{
    struct undoing undoing;
    struct posting *posting;
    if (!stock_post_open(request, &undoing.post) || !posting_find(request, number, &posting) ||
        !may_be_reversed(request, posting, allow_fed))
        return false;
    undoing.posting = posting;
    *reversal = (struct posting){
        .kind = STOCK_REVERSED, .date = posting->date, .reason = reason, .reverses = number};
    return posting_add(request->tx, reversal) && load(request, &undoing) &&
           reverse_takings(request, &undoing) &&
           stock_post_hold(request, &undoing.post, posting->date, last_number(&undoing)) &&
           check_moves(request, &undoing) &&
           moves_add(request->tx, reversal, posting->kind, &undoing.post.day.catalogue,
                     undoing.moves, undoing.count);
}

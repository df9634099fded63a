/* Fronts of labels, and the search that fills them from the last slot to the first.
 *
 * For each level there is a tree over the slots (node n has children 2n and 2n + 1, leaves from
 * `leaves` on) whose nodes are the fronts of all feeds at the slots below them, so that the feeds
 * of a stretch of slots are found in few nodes. A node is filled when its first slot is: all that
 * are asked for lie after the present slot and are filled.
 */
#include "bakery/feeding_front.h"

#include "bakery/amount.h"

#include <string.h>

/* --- fronts --- */

bool feed_label_cheaper(const struct feed_label *a, const struct feed_label *b)
{
    if (a->used_mg != b->used_mg) return a->used_mg < b->used_mg;
    if (a->feeds != b->feeds) return a->feeds < b->feeds;
    return a->lateness > b->lateness;
}

static bool make_room(const struct reckoning *reckoning, struct feed_front *front, size_t room)
{
    if (front->room >= room) return true;
    if (room < 2 * front->room) room = 2 * front->room;
    struct feed_label *labels = amount_memory(reckoning, room, sizeof *labels);
    if (!labels) return false;
    if (front->count > 0) memcpy(labels, front->labels, front->count * sizeof *labels);
    front->labels = labels;
    front->room = room;
    return true;
}

bool feed_front_push(const struct reckoning *reckoning, struct feed_front *front,
                     const struct feed_label *label)
{
    if (front->count > 0) {
        const struct feed_label *last = &front->labels[front->count - 1];
        if (!feed_label_cheaper(label, last)) return true;
        if (label->need_mg == last->need_mg) front->count--;
    }
    if (!make_room(reckoning, front, front->count + 1)) return false;
    front->labels[front->count++] = *label;
    return true;
}

bool feed_front_merge(const struct reckoning *reckoning, const struct feed_front *a,
                      const struct feed_front *b, struct feed_front *into)
{
    size_t i = 0, k = 0;
    into->count = 0;
    if (!make_room(reckoning, into, a->count + b->count)) return false;
    while (i < a->count || k < b->count) {
        bool of_a = k == b->count || (i < a->count && a->labels[i].need_mg <= b->labels[k].need_mg);
        const struct feed_label *label = of_a ? &a->labels[i++] : &b->labels[k++];
        if (!feed_front_push(reckoning, into, label)) return false;
    }
    return true;
}

void feed_front_thin(struct feed_front *front)
{
    if (front->count <= FEED_FRONT_MOST) return;
    struct feed_label *labels = front->labels;
    size_t last = front->count - 1, kept = 1;
    int64_t apart = (labels[0].used_mg - labels[last].used_mg) / FEED_FRONT_MOST + 1;
    for (size_t i = 1; i <= last; i++)
        if (labels[kept - 1].used_mg - labels[i].used_mg >= apart) labels[kept++] = labels[i];
    front->count = kept;
}

const struct feed_label *feed_front_within(const struct feed_front *front, int64_t most_mg)
{
    const struct feed_label *best = NULL;
    for (size_t i = 0; i < front->count && front->labels[i].need_mg <= most_mg; i++)
        best = &front->labels[i];
    return best;
}

/* --- the search --- */

struct filling {
    const struct feeding_bounds *bounds;
    struct feeding_search *search;
    const struct reckoning *reckoning;
    size_t leaves;           /* of a tree; a power of two */
    struct feed_front *tree; /* of all levels, one after the other */
    /* Used over and over again. */
    struct feed_front shifted, wants, feeds, joined, found;
};

static void swap(struct feed_front *a, struct feed_front *b)
{
    struct feed_front other = *a;
    *a = *b;
    *b = other;
}

/* Adds to the wants after a feed those of going on with a front, some demands taken between. */
static bool add_wants(struct filling *filling, const struct feed_front *front, int64_t taken_mg)
{
    filling->shifted.count = 0;
    for (size_t i = 0; i < front->count; i++) {
        struct feed_label label = front->labels[i];
        label.need_mg = feed_want(filling->search, label.need_mg, taken_mg);
        label.next = &front->labels[i];
        if (!feed_front_push(filling->reckoning, &filling->shifted, &label)) return false;
    }
    if (!feed_front_merge(filling->reckoning, &filling->wants, &filling->shifted, &filling->joined))
        return false;
    swap(&filling->wants, &filling->joined);
    return true;
}

static bool add_stretch(struct filling *filling, size_t level, const struct feed_stretch *stretch)
{
    struct feed_front *tree = filling->tree + level * 2 * filling->leaves;
    size_t low = stretch->first + filling->leaves, high = stretch->end + filling->leaves;
    for (; low < high; low /= 2, high /= 2) {
        if (low % 2 == 1 && !add_wants(filling, &tree[low++], stretch->taken_mg)) return false;
        if (high % 2 == 1 && !add_wants(filling, &tree[--high], stretch->taken_mg)) return false;
    }
    return true;
}

/* All that can be wanted after a feed. */
static bool gather_wants(struct filling *filling, const struct feed_reach *reach)
{
    filling->wants.count = 0;
    if (reach->may_end) {
        struct feed_label end = {.need_mg = feed_want(filling->search, 0, reach->end_want_mg)};
        if (!feed_front_push(filling->reckoning, &filling->wants, &end)) return false;
    }
    for (size_t n = 0; n <= reach->to - reach->from; n++) {
        struct feed_stretch stretch = feed_stretch_of(filling->search, reach, n);
        if (!add_stretch(filling, reach->level, &stretch)) return false;
    }
    return true;
}

/* Turns what is wanted after a feed into what is needed before it, as far as so much can be there.
 */
static bool feed_with(struct filling *filling, size_t slot, size_t ratio, int64_t most_mg)
{
    const struct feeding_problem *problem = filling->search->problem;
    filling->feeds.count = 0;
    for (size_t i = 0; i < filling->wants.count; i++) {
        struct feed_label label = filling->wants.labels[i];
        struct feed_amounts amounts;
        if (!feed_amounts_of(filling->search, ratio, label.need_mg, &amounts)) break;
        if (amounts.seed > most_mg) break;
        if (__builtin_add_overflow(label.used_mg, amounts.after - amounts.seed, &label.used_mg)) {
            filling->search->too_large = true;
            break;
        }
        label.want_mg = label.need_mg;
        label.need_mg = feed_need(filling->search, amounts.seed);
        label.feeds++;
        label.lateness += problem->slots[slot] - problem->now;
        label.slot = slot;
        label.ratio = ratio;
        if (!feed_front_push(filling->reckoning, &filling->feeds, &label)) return false;
    }
    return true;
}

/* Keeps a front in the tree, with no more memory than it takes. */
static bool settle(struct filling *filling, struct feed_front *node, struct feed_front *front)
{
    feed_front_thin(front);
    if (front->count == 0) return true;
    if (!make_room(filling->reckoning, node, front->count)) return false;
    memcpy(node->labels, front->labels, front->count * sizeof *front->labels);
    node->count = front->count;
    return true;
}

/* Fills the leaf of a slot, and every node of which it is the first. */
static bool fill_up(struct filling *filling, size_t level, size_t slot)
{
    struct feed_front *tree = filling->tree + level * 2 * filling->leaves;
    size_t node = filling->leaves + slot;
    if (!settle(filling, &tree[node], &filling->found)) return false;
    for (; node > 1 && node % 2 == 0; node /= 2) {
        if (!feed_front_merge(filling->reckoning, &tree[node], &tree[node + 1], &filling->joined) ||
            !settle(filling, &tree[node / 2], &filling->joined))
            return false;
    }
    return true;
}

static bool fill_slot(struct filling *filling, size_t level, size_t slot)
{
    struct feeding_search *search = filling->search;
    int64_t most = feeding_most_at(filling->bounds, level, slot);
    filling->found.count = 0;
    for (size_t ratio = 0; most >= 0 && ratio < search->problem->ratio_count; ratio++) {
        struct feed_reach reach;
        if (!feed_reach_of(search, level, slot, ratio, &reach)) continue;
        if (!gather_wants(filling, &reach) || !feed_with(filling, slot, ratio, most) ||
            !feed_front_merge(filling->reckoning, &filling->found, &filling->feeds,
                              &filling->joined))
            return false;
        swap(&filling->found, &filling->joined);
    }
    return fill_up(filling, level, slot);
}

bool feeding_cheapest(const struct feeding_bounds *bounds, const struct feed_label **out)
{
    struct feeding_search *search = bounds->search;
    struct filling filling = {
        .bounds = bounds, .search = search, .reckoning = search->reckoning, .leaves = 1};
    size_t slots = search->problem->slot_count;
    int64_t most;
    *out = NULL;
    while (filling.leaves < slots)
        filling.leaves *= 2;
    filling.tree = amount_memory(search->reckoning, search->levels * 2 * filling.leaves,
                                 sizeof *filling.tree);
    if (!filling.tree) return false;
    for (size_t slot = slots; slot-- > 0;)
        for (size_t level = 0; level < search->levels; level++)
            if (!fill_slot(&filling, level, slot)) return false;
    for (size_t slot = 0; slot < slots; slot++) {
        if (!feed_may_begin(search, slot, &most)) continue;
        const struct feed_label *label = feed_front_within(&filling.tree[filling.leaves + slot],
                                                           most);
        if (label && (!*out || feed_label_cheaper(label, *out))) *out = label;
    }
    return true;
}

/* What is baked together.
 *
 * Breads of one bread day that have the same bake fill the decks one after the other, those that
 * are wanted first first; while there is room, what is wanted within the next hours goes along,
 * since a half empty deck costs the oven as much as a full one. Where ovens differ, each load is
 * cut for the oven that has least to do for each of its decks. Where nobody knows what a deck
 * takes, what one batch has for one time is one load. A piece is of the batch in which it begins,
 * unless it is larger than a batch.
 */
#include "bakery/timetable_shop.h"

#include "bakery/amount.h"

#include <string.h>

/* Bread is baked no more than that earlier than it need be for the sake of a full deck. */
enum { ALONG_SECONDS = 3 * 60 * 60 };

struct loading {
    struct shop *shop;
    struct shop_load *open;   /* load in hand, or NULL */
    const struct bread *like; /* one of its breads */
    size_t first_of_day;      /* load */
    int64_t batch;            /* that it is of when nobody knows what a deck takes */
    int64_t *work;            /* per oven: seconds of baking that are cut for it */
    int64_t *numbers;         /* per product: its loads of the day */
    date day;
};

int64_t deck_capacity(const struct oven *oven, const struct bake *bake)
{
    int64_t pieces;
    if (!bake) return 0;
    if (__builtin_mul_overflow(oven->places, bake->per_place, &pieces)) return INT64_MAX;
    return pieces;
}

/* --- a load --- */

static bool load_room(struct shop *shop)
{
    if (shop->job_count + shop->load_count >= TIMETABLE_JOBS_MAX) return shop_too_large(shop);
    if (shop->load_count < shop->load_room) return true;
    size_t room = shop->load_room < 32 ? 64 : 2 * shop->load_room;
    struct shop_load *larger = amount_memory(shop->reckoning, room, sizeof *larger);
    if (!larger) return false;
    if (shop->load_count > 0) memcpy(larger, shop->loads, shop->load_count * sizeof *shop->loads);
    shop->loads = larger;
    shop->load_room = room;
    return true;
}

/* The oven that would first be done with one more load; the larger of two. */
static const struct oven *next_oven(const struct loading *loading, int64_t seconds)
{
    const struct bakery *bakery = &loading->shop->reckoning->catalogue->bakery;
    const struct oven *best = NULL;
    int64_t soonest = 0;
    for (size_t n = 0; n < bakery->oven_count; n++) {
        const struct oven *oven = &bakery->ovens[n];
        int64_t done = (loading->work[n] + seconds) / oven->decks +
                       stage_seconds(oven->recovery_minutes);
        if (best && (done > soonest || (done == soonest && oven->places <= best->places))) continue;
        best = oven;
        soonest = done;
    }
    return best;
}

static bool open_load(struct loading *loading, const struct bread *bread)
{
    struct shop *shop = loading->shop;
    const struct baking *baking = bread->baking;
    if (!load_room(shop)) return false;
    int64_t seconds = bake_seconds(bread->dough->mix, bread->bake);
    loading->open = &shop->loads[shop->load_count++];
    *loading->open = (struct shop_load){.bread_day = baking->bread_day,
                                        .ready = baking->ready,
                                        .mix = bread->dough->mix,
                                        .bake = bread->bake,
                                        .number = ++loading->numbers[baking->product]};
    loading->like = bread;
    loading->open->oven = bread->bake ? next_oven(loading, seconds) : NULL;
    if (loading->open->oven)
        loading->work[loading->open->oven - shop->reckoning->catalogue->bakery.ovens] += seconds;
    return true;
}

static bool add_item(struct shop *shop, struct shop_load *load, size_t product, int64_t pieces)
{
    for (size_t n = 0; n < load->item_count; n++)
        if (load->items[n].product == product) {
            load->items[n].pieces += pieces;
            return true;
        }
    if (load->item_count == load->item_room) {
        size_t room = 2 * load->item_room + 2;
        struct load_item *larger = amount_memory(shop->reckoning, room, sizeof *larger);
        if (!larger) return false;
        if (load->item_count > 0) memcpy(larger, load->items, load->item_count * sizeof *larger);
        load->items = larger;
        load->item_room = room;
    }
    load->items[load->item_count++] = (struct load_item){product, pieces};
    return true;
}

static bool add_source(struct shop *shop, struct shop_load *load, const struct shop_mix *mix,
                       int64_t first, int64_t last)
{
    for (struct source *source = load->sources; source; source = source->next)
        if (source->mix == mix) {
            if (first < source->first) source->first = first;
            if (last > source->last) source->last = last;
            return true;
        }
    struct source *source = amount_memory(shop->reckoning, 1, sizeof *source);
    if (!source) return false;
    *source = (struct source){load->sources, mix, first, last};
    load->sources = source;
    return true;
}

/* Where a piece begins in its mix. */
static bool place_of(const struct shop *shop, const struct portion *portion, int64_t piece,
                     fixed *place)
{
    *place = portion->start;
    return amount_add_scaled(shop->reckoning, place, portion->each, piece, 1);
}

/* Takes the dough of pieces from the batches that it is in. */
static bool take(struct shop *shop, struct shop_load *load, const struct portion *portion,
                 int64_t from, int64_t to)
{
    fixed begin;
    fixed end;
    int64_t first;
    int64_t last;
    fixed batch = portion->mix->sold / portion->mix->batches;
    bool is_large = portion->each > batch;
    if (!place_of(shop, portion, from, &begin) ||
        !place_of(shop, portion, is_large ? to : to - 1, &end) ||
        !batch_at(shop, portion->mix, begin, false, &first) ||
        !batch_at(shop, portion->mix, end, is_large, &last) ||
        !amount_add_scaled(shop->reckoning, &load->grams, portion->each, to - from, 1))
        return false;
    return add_source(shop, load, portion->mix, first, last);
}

/* Puts the pieces of a bread into the load in hand. */
static bool put_in(struct loading *loading, const struct bread *bread, int64_t from, int64_t to)
{
    struct shop *shop = loading->shop;
    struct shop_load *load = loading->open;
    for (const struct portion *portion = bread->portions; portion; portion = portion->next)
        if (!take(shop, load, portion, from, to)) return false;
    if (cool_seconds(bread->dough->mix) > cool_seconds(load->mix)) load->mix = bread->dough->mix;
    if (load->oven) load->places += (to - from) * (SHARE_ONE / bread->bake->per_place);
    return add_item(shop, load, bread->baking->product, to - from);
}

/* --- filling decks --- */

/* How many pieces a load still takes of a bread. */
static int64_t room_in_load(const struct shop_load *load, const struct bread *bread)
{
    if (!load->oven || bake_order(load->bake, bread->bake) != 0 ||
        bread->baking->ready - load->ready > ALONG_SECONDS)
        return 0;
    fixed left = load->oven->places * SHARE_ONE - load->places;
    fixed pieces = left / (SHARE_ONE / bread->bake->per_place);
    return pieces > INT64_MAX ? INT64_MAX : (int64_t)pieces;
}

/* Takes in hand the last load of the day with room for a bread; how much room that is, or 0. */
static int64_t find_room(struct loading *loading, const struct bread *bread)
{
    struct shop *shop = loading->shop;
    for (size_t n = shop->load_count; n-- > loading->first_of_day;) {
        int64_t room = room_in_load(&shop->loads[n], bread);
        if (room == 0) continue;
        loading->open = &shop->loads[n];
        loading->like = bread;
        return room;
    }
    return 0;
}

static bool fill_decks(struct loading *loading, const struct bread *bread)
{
    int64_t pieces = bread->baking->pieces;
    for (int64_t done = 0; done < pieces;) {
        int64_t room = find_room(loading, bread);
        if (room == 0) {
            if (!open_load(loading, bread)) return false;
            room = room_in_load(loading->open, bread);
        }
        int64_t to = room < pieces - done ? done + room : pieces;
        if (!put_in(loading, bread, done, to)) return false;
        done = to;
    }
    return true;
}

/* --- one load a batch --- */

/* The first piece that does not begin in the batch. */
static bool pieces_until(const struct shop *shop, const struct portion *portion, int64_t batch,
                         int64_t pieces, int64_t *until)
{
    fixed end;
    fixed piece;
    if (!fixed_muldiv(portion->mix->sold, batch + 1, portion->mix->batches, ROUND_UP, &end) ||
        !fixed_muldiv(end - portion->start, 1, portion->each, ROUND_UP, &piece))
        return amount_too_large(shop->reckoning);
    *until = piece < pieces ? (int64_t)piece : pieces;
    return true;
}

static bool is_of_batch(const struct loading *loading, const struct bread *bread, int64_t batch)
{
    return loading->open && bread_order(loading->like, bread) == 0 &&
           loading->like->dough->mix == bread->dough->mix && loading->batch == batch;
}

static bool load_batches(struct loading *loading, const struct bread *bread)
{
    const struct portion *dough = bread->dough;
    int64_t pieces = bread->baking->pieces;
    for (int64_t done = 0; done < pieces;) {
        fixed place;
        int64_t batch;
        int64_t until = 0;
        if (!place_of(loading->shop, dough, done, &place) ||
            !batch_at(loading->shop, dough->mix, place, false, &batch) ||
            !pieces_until(loading->shop, dough, batch, pieces, &until))
            return false;
        if (until <= done) until = done + 1;
        if (!is_of_batch(loading, bread, batch) && !open_load(loading, bread)) return false;
        loading->batch = batch;
        if (!put_in(loading, bread, done, until)) return false;
        done = until;
    }
    return true;
}

/* --- all of them --- */

/* Every day begins with nothing baked. */
static void begin_day(struct loading *loading, date day)
{
    const struct catalogue *catalogue = loading->shop->reckoning->catalogue;
    if (loading->day == day) return;
    loading->day = day;
    loading->first_of_day = loading->shop->load_count;
    memset(loading->numbers, 0, catalogue->product_count * sizeof *loading->numbers);
    memset(loading->work, 0, catalogue->bakery.oven_count * sizeof *loading->work);
}

static bool weigh_loads(struct shop *shop)
{
    for (size_t n = 0; n < shop->load_count; n++)
        if (!amount_milligrams(shop->reckoning, shop->loads[n].grams, &shop->loads[n].dough_mg))
            return false;
    return true;
}

bool shop_loads(struct shop *shop)
{
    const struct catalogue *catalogue = shop->reckoning->catalogue;
    struct loading loading = {.shop = shop, .day = INT32_MIN};
    bool has_oven = catalogue->bakery.oven_count > 0;
    loading.work = amount_memory(shop->reckoning, catalogue->bakery.oven_count,
                                 sizeof *loading.work);
    loading.numbers = amount_memory(shop->reckoning, catalogue->product_count,
                                    sizeof *loading.numbers);
    if (!loading.work || !loading.numbers) return false;
    for (size_t n = 0; n < shop->bread_count; n++) {
        const struct bread *bread = &shop->breads[n];
        if (!bread->dough) continue;
        begin_day(&loading, bread->baking->bread_day);
        bool is_measured = has_oven && bread->bake;
        if (!(is_measured ? fill_decks : load_batches)(&loading, bread)) return false;
    }
    return weigh_loads(shop);
}

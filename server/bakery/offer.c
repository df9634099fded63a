/* "Can we take it?": the table of what can bind, and the search for what is still possible.
 *
 * Only batches that are too small can be mended by more pieces. Everything else that binds at a
 * number of pieces binds at more of them, so that the most that is possible is found by halving;
 * the answer is always one that was reckoned through and binds nowhere.
 */
#include "bakery/offer.h"

#include "bakery/amount.h"
#include "bakery/offer_view.h"
#include "bakery/piece.h"

enum { PIECES_MOST = 1000000, BATCH_STEPS_MAX = 100 };

/* --- doughs --- */

static void earliest_reason(struct offer_reason *reason, bool *binds, size_t formula, instant at)
{
    if (*binds && reason->at <= at) return;
    *binds = true;
    reason->formula = formula;
    reason->at = at;
}

static bool mix_begun(struct offer_case *offer, struct offer_view *trial,
                      struct offer_reason *reason, bool *binds)
{
    for (size_t i = 0; i < trial->mix_count; i++) {
        instant begins;
        if (!offer_mix_grows(offer, &trial->mixes[i])) continue;
        if (!offer_mix_begins(offer, &trial->mixes[i], &begins)) return false;
        if (begins <= offer->world->now)
            earliest_reason(reason, binds, trial->mixes[i].formula, begins);
    }
    return true;
}

/* The mixer of the mix, its batches and what one lacks to the least. */
static bool divide(const struct offer_view *view, const struct offer_mix *mix, struct mix *out)
{
    *out = (struct mix){.formula = mix->formula};
    return mix_divide(&view->reckoning, out, mix->dough);
}

/* Whether a mix's batches are too small that were not, or that were not to be mixed at all. */
static bool batch_binds(struct offer_case *offer, const struct offer_view *trial,
                        const struct offer_mix *mix, struct mix *divided, bool *binds)
{
    struct mix was;
    *binds = false;
    if (!offer_mix_grows(offer, mix)) return true;
    if (!divide(trial, mix, divided)) return false;
    if (!divided->under_minimum) return true;
    const struct offer_mix *before = offer_view_mix(&offer->before, mix->formula, mix->mixing_date);
    if (before && !divide(&offer->before, before, &was)) return false;
    *binds = !before || !was.under_minimum;
    return true;
}

/* The first mix whose batches are too small; *found NULL: none. */
static bool small_batch(struct offer_case *offer, const struct offer_view *trial,
                        const struct offer_mix **found, struct mix *divided)
{
    *found = NULL;
    for (size_t i = 0; i < trial->mix_count && !*found; i++) {
        bool binds;
        if (!batch_binds(offer, trial, &trial->mixes[i], divided, &binds)) return false;
        if (binds) *found = &trial->mixes[i];
    }
    return true;
}

static bool batch_small(struct offer_case *offer, struct offer_view *trial,
                        struct offer_reason *reason, bool *binds)
{
    const struct offer_mix *found;
    struct mix divided;
    if (!small_batch(offer, trial, &found, &divided)) return false;
    if (!found) return true;
    *binds = true;
    reason->formula = found->formula;
    reason->mixer = divided.mixer;
    reason->short_mg = divided.mixer->min_mg - divided.batch_mg;
    return true;
}

/* --- the table --- */

struct offer_check {
    const char *code;
    const char *text;
    /* Whether it binds, and its figures; false on trouble. */
    bool (*check)(struct offer_case *offer, struct offer_view *trial, struct offer_reason *reason,
                  bool *binds);
};

static const struct offer_check checks[] = {
    {"mix-begun", "its mix has begun", mix_begun},
    {"mixer-full", "the mixer has no time left for it", offer_mixer_full},
    {"batch-small", "the batch is too small for the mixer", batch_small},
    {"flour-short", "there is not enough", offer_flour_short},
    {"starter-short", "not enough starter can be ripe in time", offer_starter_short},
    {"oven-full", "the oven is full", offer_oven_full},
    {"cold-full", "the cold space is full", offer_cold_full},
    {"hands-short", "there are not enough hands", offer_hands_short},
};

static bool ask_check(struct offer_case *offer, const struct offer_check *check,
                      struct offer_view *trial, struct offer_reason *reason, bool *binds)
{
    *reason = (struct offer_reason){
        .formula = NOT_FOUND, .starter = NOT_FOUND, .ingredient = NOT_FOUND};
    *binds = false;
    if (!check->check(offer, trial, reason, binds)) return false;
    if (!*binds) return true;
    reason->code = check->code;
    reason->text = check->text;
    return true;
}

/* The first row that binds so many pieces; *row NULL: none. */
static bool ask_all(struct offer_case *offer, size_t product, int64_t pieces,
                    const struct offer_check **row, struct offer_reason *reason)
{
    struct offer_view trial;
    bool binds = false;
    bool done = offer_trial_open(offer, product, pieces, &trial);
    trial.wants_cause = true;
    *row = NULL;
    for (size_t i = 0; done && !binds && i < sizeof checks / sizeof *checks; i++) {
        done = ask_check(offer, &checks[i], &trial, reason, &binds);
        if (binds) *row = &checks[i];
    }
    offer_trial_close(&trial);
    return done;
}

/* --- what is still possible --- */

static bool ask_one(struct offer_case *offer, size_t product, int64_t pieces,
                    const struct offer_check *row, bool *binds)
{
    struct offer_view trial;
    struct offer_reason reason;
    bool done = offer_trial_open(offer, product, pieces, &trial) &&
                ask_check(offer, row, &trial, &reason, binds);
    offer_trial_close(&trial);
    return done;
}

/* The most pieces below too_many that the row does not bind. */
static bool most_unbound(struct offer_case *offer, size_t product, const struct offer_check *row,
                         int64_t too_many, int64_t *most)
{
    *most = 0;
    while (too_many - *most > 1) {
        int64_t middle = *most + (too_many - *most) / 2;
        bool binds;
        if (!ask_one(offer, product, middle, row, &binds)) return false;
        if (binds)
            too_many = middle;
        else
            *most = middle;
    }
    return true;
}

/* How many batches a mix has, and whether they weigh enough, with so many pieces more. */
static bool batches_with(struct offer_case *offer, size_t product, int64_t pieces,
                         const struct offer_mix *mix, struct mix *divided)
{
    struct offer_view trial;
    bool done = offer_trial_open(offer, product, pieces, &trial);
    *divided = (struct mix){.batches = 0};
    if (done) {
        const struct offer_mix *with = offer_view_mix(&trial, mix->formula, mix->mixing_date);
        done = !with || divide(&trial, with, divided);
    }
    offer_trial_close(&trial);
    return done;
}

/* The small batch at so many pieces; *any false: there is none. */
static bool small_batch_at(struct offer_case *offer, size_t product, int64_t pieces, bool *any,
                           struct offer_mix *mix, struct mix *divided)
{
    struct offer_view trial;
    const struct offer_mix *found = NULL;
    bool done = offer_trial_open(offer, product, pieces, &trial) &&
                small_batch(offer, &trial, &found, divided);
    *any = found != NULL;
    if (found) *mix = *found;
    offer_trial_close(&trial);
    return done;
}

/* The most pieces below too_many that make fewer batches of the mix that are too small then. */
static bool fewer_batches(struct offer_case *offer, size_t product, int64_t too_many, int64_t *most)
{
    struct offer_mix mix;
    struct mix now;
    bool any;
    *most = 0;
    if (!small_batch_at(offer, product, too_many, &any, &mix, &now) || !any) return !any;
    while (too_many - *most > 1) {
        int64_t middle = *most + (too_many - *most) / 2;
        struct mix then;
        if (!batches_with(offer, product, middle, &mix, &then)) return false;
        if (then.batches >= now.batches)
            too_many = middle;
        else
            *most = middle;
    }
    return true;
}

static bool most_possible(struct offer_case *offer, size_t product, int64_t pieces,
                          const struct offer_check *row, int64_t *possible)
{
    struct offer_reason reason;
    *possible = pieces;
    while (row) {
        int64_t below;
        bool done = row->check == batch_small
                        ? fewer_batches(offer, product, *possible, &below)
                        : most_unbound(offer, product, row, *possible, &below);
        if (!done) return false;
        *possible = below;
        if (below == 0) return true;
        if (!ask_all(offer, product, below, &row, &reason)) return false;
    }
    return true;
}

/* --- more pieces for a batch that is too small --- */

static bool heavy_enough(struct offer_case *offer, size_t product, int64_t pieces,
                         const struct offer_mix *mix, const struct mix *small, bool *enough)
{
    struct mix then;
    if (!batches_with(offer, product, pieces, mix, &then)) return false;
    *enough = then.batches > small->batches || !then.under_minimum;
    return true;
}

/* The fewest pieces over too_few that mend the small batch; *fewest over most: there are none. */
static bool mend(struct offer_case *offer, size_t product, const struct offer_mix *mix,
                 const struct mix *small, int64_t too_few, int64_t most, int64_t *fewest)
{
    bool enough = false;
    *fewest = too_few;
    while (!enough && *fewest < most) {
        too_few = *fewest;
        *fewest = too_few > most / 2 ? most : 2 * too_few;
        if (!heavy_enough(offer, product, *fewest, mix, small, &enough)) return false;
    }
    if (!enough) *fewest = most + 1;
    while (enough && *fewest - too_few > 1) {
        int64_t middle = too_few + (*fewest - too_few) / 2;
        bool middle_enough;
        if (!heavy_enough(offer, product, middle, mix, small, &middle_enough)) return false;
        if (middle_enough)
            *fewest = middle;
        else
            too_few = middle;
    }
    return true;
}

static int64_t pieces_most(const struct offer_case *offer, size_t product)
{
    const struct product *of = &offer->world->reckoning->catalogue->products[product];
    int64_t raw = piece_raw_mg(of);
    if (raw <= 0 || pieces_in_range(PIECES_MOST, raw)) return PIECES_MOST;
    return ORDER_WEIGHT_MAX_MG / raw;
}

/* Every mend may leave another batch too small: of a second dough, or one batch more of the same.
 */
static bool possible_from(struct offer_case *offer, size_t product, int64_t pieces,
                          int64_t *possible)
{
    const struct offer_check *row;
    struct offer_reason reason;
    int64_t most = pieces_most(offer, product);
    *possible = 0;
    for (int step = 0; step < BATCH_STEPS_MAX && pieces <= most; step++) {
        struct offer_mix mix;
        struct mix small;
        bool any;
        if (!small_batch_at(offer, product, pieces, &any, &mix, &small)) return false;
        if (!any) break;
        if (!mend(offer, product, &mix, &small, pieces, most, &pieces)) return false;
    }
    if (pieces > most) return true;
    if (!ask_all(offer, product, pieces, &row, &reason)) return false;
    if (!row) *possible = pieces;
    return true;
}

bool offer_of(const struct offer_world *world, date bread_day, size_t product, int64_t pieces,
              struct offer *out)
{
    struct offer_case offer;
    const struct offer_check *row;
    *out = (struct offer){.yes = false};
    if (!offer_case_open(&offer, world, bread_day) ||
        !ask_all(&offer, product, pieces, &row, &out->reason) ||
        !most_possible(&offer, product, pieces, row, &out->possible))
        return false;
    out->yes = row == NULL;
    return !row || row->check != batch_small ||
           possible_from(&offer, product, pieces, &out->possible_from);
}

/* Mixes and loads as jobs for the machines: what each occupies, what it feeds, when it is due.
 *
 * The jobs of a mix stand in this order: a gate when it has parts, which stands for "when the first
 * of its batches begins"; its batches; of a part that is baked a load for each batch. The loads of
 * products stand after all mixes. So every job stands before those that it feeds.
 */
#include "bakery/timetable_shop.h"

#include "bakery/amount.h"
#include "base/fail.h"

enum { STAYS_WARM_MINUTES = 4 * 60 };

struct edge {
    size_t from, to;
};

struct wiring {
    struct shop *shop;
    struct edge *edges;
    size_t count, room;
};

/* --- machines --- */

/* Decks stand by places, then in the order of the ovens. */
static bool add_decks(struct shop *shop)
{
    const struct bakery *bakery = &shop->reckoning->catalogue->bakery;
    size_t count = 0;
    for (size_t n = 0; n < bakery->oven_count; n++)
        count += (size_t)bakery->ovens[n].decks;
    shop->decks = amount_memory(shop->reckoning, count, sizeof *shop->decks);
    if (!shop->decks) return false;
    for (size_t n = 0; n < bakery->oven_count; n++)
        for (int64_t deck = 1; deck <= bakery->ovens[n].decks; deck++) {
            const struct oven *oven = &bakery->ovens[n];
            size_t at = shop->deck_count++;
            for (; at > 0 && shop->decks[at - 1].oven->places > oven->places; at--)
                shop->decks[at] = shop->decks[at - 1];
            shop->decks[at] = (struct shop_deck){oven, deck};
        }
    return true;
}

static bool add_machines(struct shop *shop)
{
    if (!add_decks(shop)) return false;
    shop->mixer_count = shop->reckoning->catalogue->bakery.mixer_count;
    size_t count = shop->mixer_count + shop->deck_count;
    struct schedule_machine *machines = amount_memory(shop->reckoning, count, sizeof *machines);
    shop->machines = amount_memory(shop->reckoning, count, sizeof *shop->machines);
    if (!machines || !shop->machines) return false;
    for (size_t n = 0; n < count; n++) {
        shop->machines[n] = n;
        if (n < shop->mixer_count) continue;
        const struct oven *oven = shop->decks[n - shop->mixer_count].oven;
        int64_t warm = oven->preheat_minutes > STAYS_WARM_MINUTES ? oven->preheat_minutes
                                                                  : STAYS_WARM_MINUTES;
        machines[n] = (struct schedule_machine){stage_seconds(oven->recovery_minutes),
                                                stage_seconds(oven->preheat_minutes),
                                                stage_seconds(warm)};
    }
    shop->problem.machines = machines;
    shop->problem.machine_count = count;
    return true;
}

/* --- jobs --- */

static struct schedule_op *ops_of(struct shop *shop, size_t job, size_t count)
{
    struct schedule_op *ops = amount_memory(shop->reckoning, count, sizeof *ops);
    shop->jobs[job].ops = ops;
    shop->jobs[job].op_count = count;
    return ops;
}

static struct schedule_op op_of(const struct stage *stage, int64_t dough_mg)
{
    int64_t most = stage->most_minutes > stage->minutes ? stage->most_minutes : stage->minutes;
    return (struct schedule_op){.lasts = stage_seconds(stage->minutes),
                                .most = stage_seconds(most),
                                .cold = stage->uses == USES_COLD ? dough_mg : 0};
}

static bool add_batch(struct shop *shop, const struct shop_mix *mix, int64_t batch)
{
    size_t job = mix->first_job + (size_t)batch - 1;
    int64_t most = mix->before[mix->before_count - 1].most_minutes;
    shop->job_infos[job] = (struct shop_job){
        .kind = JOB_BATCH, .mix = mix, .batch = batch, .bread_day = mix->planned->bread_days[0]};
    shop->jobs[job].due = SCHEDULE_EVER;
    shop->jobs[job].keeps = most > 0 ? stage_seconds(most) : SCHEDULE_EVER;
    struct schedule_op *ops = ops_of(shop, job, mix->before_count);
    if (!ops) return false;
    for (size_t n = 0; n < mix->before_count; n++) {
        ops[n] = op_of(&mix->before[n], mix->batch_mg);
        if (!mix->mixer || !stage_is_mixed(mix, n)) continue;
        const struct mixer *first = shop->reckoning->catalogue->bakery.mixers;
        ops[n].machines = &shop->machines[mix->mixer - first];
        ops[n].machine_count = 1;
    }
    return true;
}

/* The decks that are large enough for a load. */
static void find_decks(const struct shop *shop, const struct shop_load *load,
                       struct schedule_op *op)
{
    size_t first = 0;
    while (first < shop->deck_count && load->places > shop->decks[first].oven->places * SHARE_ONE)
        first++;
    op->machines = &shop->machines[shop->mixer_count + first];
    op->machine_count = shop->deck_count - first;
}

static bool add_load(struct shop *shop, struct shop_load *load, size_t job)
{
    const struct shop_mix *mix = load->mix;
    shop->job_infos[job] = (struct shop_job){
        .kind = JOB_LOAD, .mix = mix, .load = load, .bread_day = load->bread_day};
    shop->jobs[job].due = load->ready;
    shop->jobs[job].keeps = SCHEDULE_EVER;
    struct schedule_op *ops = ops_of(shop, job, mix->stage_count - mix->oven_stage);
    if (!ops) return false;
    for (size_t n = mix->oven_stage; n < mix->stage_count; n++) {
        struct schedule_op *op = &ops[n - mix->oven_stage];
        *op = op_of(&mix->stages[n], load->dough_mg);
        op->most = op->lasts;
    }
    ops->lasts = ops->most = bake_seconds(mix, load->bake);
    find_decks(shop, load, ops);
    return true;
}

/* The load of a batch that other mixes take baked. */
static bool add_part_load(struct shop *shop, const struct shop_mix *mix, int64_t batch)
{
    struct shop_load *load = amount_memory(shop->reckoning, 1, sizeof *load);
    fixed dough;
    if (!load ||
        !amount_scaled(shop->reckoning, mix->batch_mg, mix->used, mix->used + mix->sold, &dough))
        return false;
    *load = (struct shop_load){.bread_day = mix->planned->bread_days[0],
                               .ready = SCHEDULE_EVER,
                               .mix = mix,
                               .dough_mg = (int64_t)dough,
                               .number = batch};
    return add_load(shop, load, mix->first_job + (size_t)(mix->batches + batch) - 1);
}

static bool is_baked_part(const struct shop_mix *mix)
{
    return mix->is_part && mix->oven_stage < mix->stage_count;
}

static bool add_mix_jobs(struct shop *shop, const struct shop_mix *mix)
{
    if (mix->gate != SCHEDULE_NONE) {
        shop->job_infos[mix->gate] = (struct shop_job){
            .kind = JOB_GATE, .mix = mix, .bread_day = mix->planned->bread_days[0]};
        shop->jobs[mix->gate].due = shop->jobs[mix->gate].keeps = SCHEDULE_EVER;
    }
    for (int64_t batch = 1; batch <= mix->batches; batch++)
        if (!add_batch(shop, mix, batch) ||
            (is_baked_part(mix) && !add_part_load(shop, mix, batch)))
            return false;
    return true;
}

/* --- what feeds what --- */

static bool wire(struct wiring *wiring, size_t from, size_t to)
{
    if (wiring->count == wiring->room) {
        size_t room = wiring->room < 64 ? 128 : 2 * wiring->room;
        if (wiring->count >= TIMETABLE_EDGES_MAX) return shop_too_large(wiring->shop);
        struct edge *larger = amount_memory(wiring->shop->reckoning, room, sizeof *larger);
        if (!larger) return false;
        for (size_t n = 0; n < wiring->count; n++)
            larger[n] = wiring->edges[n];
        wiring->edges = larger;
        wiring->room = room;
    }
    wiring->edges[wiring->count++] = (struct edge){from, to};
    return true;
}

/* Whether an earlier part is of the same mix: two lines of one formula. */
static bool is_wired(const struct planned_mix *mix, const struct wanted *part)
{
    const struct wanted *other = mix->parts;
    while (other->mix != part->mix)
        other = other->sibling;
    return other != part;
}

/* The parts of a mix feed its gate, the gate its batches. */
static bool wire_mix(struct wiring *wiring, const struct shop_mix *mix)
{
    size_t batches = (size_t)mix->batches;
    for (const struct wanted *part = mix->planned->parts; part; part = part->sibling) {
        const struct shop_mix *of = mix_of_plan(wiring->shop, part->mix);
        if (is_wired(mix->planned, part)) continue;
        size_t first = of->first_job + (is_baked_part(of) ? (size_t)of->batches : 0);
        for (size_t n = 0; n < (size_t)of->batches; n++)
            if (!wire(wiring, first + n, mix->gate)) return false;
    }
    for (size_t n = 0; n < batches; n++) {
        size_t batch = mix->first_job + n;
        if (mix->gate != SCHEDULE_NONE && !wire(wiring, mix->gate, batch)) return false;
        if (is_baked_part(mix) && !wire(wiring, batch, batch + batches)) return false;
    }
    return true;
}

static bool wire_load(struct wiring *wiring, const struct shop_load *load, size_t job)
{
    for (const struct source *source = load->sources; source; source = source->next)
        for (int64_t batch = source->first; batch <= source->last; batch++)
            if (!wire(wiring, source->mix->first_job + (size_t)batch, job)) return false;
    return true;
}

static bool hand_out(struct wiring *wiring)
{
    struct shop *shop = wiring->shop;
    size_t *feeds = amount_memory(shop->reckoning, wiring->count, sizeof *feeds);
    size_t *next = amount_memory(shop->reckoning, shop->job_count + 1, sizeof *next);
    if (!feeds || !next) return false;
    for (size_t n = 0; n < wiring->count; n++)
        next[wiring->edges[n].from + 1]++;
    for (size_t j = 0; j < shop->job_count; j++) {
        shop->jobs[j].feed_count = next[j + 1];
        next[j + 1] += next[j];
        shop->jobs[j].feeds = &feeds[next[j]];
    }
    for (size_t n = 0; n < wiring->count; n++)
        feeds[next[wiring->edges[n].from]++] = wiring->edges[n].to;
    return true;
}

/* --- when it is due --- */

/* What is not baked must have ended when its breads are wanted. */
static bool find_due(struct shop *shop)
{
    for (size_t n = 0; n < shop->bread_count; n++) {
        const struct bread *bread = &shop->breads[n];
        for (const struct portion *p = bread->portions; p && !bread->dough; p = p->next) {
            int64_t first;
            int64_t last;
            fixed end = p->start;
            if (!amount_add_scaled(shop->reckoning, &end, p->each, bread->baking->pieces, 1) ||
                !batch_at(shop, p->mix, p->start, false, &first) ||
                !batch_at(shop, p->mix, end, true, &last))
                return false;
            for (int64_t batch = first; batch <= last; batch++) {
                struct schedule_job *job = &shop->jobs[p->mix->first_job + (size_t)batch];
                if (bread->baking->ready < job->due) job->due = bread->baking->ready;
            }
        }
    }
    return true;
}

static bool add_jobs(struct shop *shop)
{
    size_t first_load = shop->job_count;
    shop->job_count += shop->load_count;
    shop->jobs = amount_memory(shop->reckoning, shop->job_count, sizeof *shop->jobs);
    shop->job_infos = amount_memory(shop->reckoning, shop->job_count, sizeof *shop->job_infos);
    if (!shop->jobs || !shop->job_infos) return false;
    struct wiring wiring = {.shop = shop};
    for (size_t n = 0; n < shop->mix_count; n++)
        if (!add_mix_jobs(shop, &shop->mixes[n]) || !wire_mix(&wiring, &shop->mixes[n]))
            return false;
    for (size_t n = 0; n < shop->load_count; n++) {
        struct shop_load *load = &shop->loads[n];
        if (!add_load(shop, load, first_load + n) || !wire_load(&wiring, load, first_load + n))
            return false;
    }
    return hand_out(&wiring);
}

bool shop_jobs(struct shop *shop)
{
    return add_machines(shop) && add_jobs(shop) && find_due(shop) && shop_groups(shop);
}

bool shop_schedule(struct shop *shop, date last_bread_day)
{
    int64_t cold = shop->reckoning->catalogue->bakery.cold_mg;
    shop->problem.jobs = shop->jobs;
    shop->problem.job_count = shop->job_count;
    shop->problem.cold = cold > 0 ? cold : SCHEDULE_EVER;
    shop->problem.last_group = last_bread_day;
    if (schedule_solve(shop->reckoning->arena, &shop->problem, &shop->schedule)) return true;
    return fail_memory(shop->reckoning->fails);
}

/* Whether the machines suffice for more pieces.
 *
 * The timetable finds a place for everything, if need be an earlier one: what does not fit has to
 * begin before now, or so early that nobody would call it the bread of that day, or has to wait
 * longer than it may. What was too early before the pieces were added is taken to stay as it is. So
 * many pieces that no machine could work through them in that time need no timetable.
 */
#include "bakery/offer_view.h"

#include "bakery/amount.h"

enum {
    SECONDS_PER_MINUTE = 60,
    EARLY_MOST = 12 * 60 * SECONDS_PER_MINUTE /* no dough begins earlier than it need by more */
};

/* The first moment at which what need begin then may begin. */
static instant earliest(const struct offer_case *offer, instant needed)
{
    instant now = offer->world->now;
    return needed - EARLY_MOST > now ? needed - EARLY_MOST : now + 1;
}

/* --- what no timetable could hold --- */

/* Minutes of the mixer for one batch. When no stage says what it uses it is the first. */
static int64_t mixer_minutes(const struct formula *formula)
{
    int64_t minutes = 0;
    bool said = formula->stage_count == 0;
    for (size_t n = 0; n < formula->stage_count; n++) {
        said |= formula->stages[n].uses != USES_NOTHING;
        if (formula->stages[n].uses == USES_MIXER) minutes += formula->stages[n].minutes;
    }
    return said ? minutes : formula->stages[0].minutes;
}

/* By how many minutes so much work is longer than the time between. */
static int64_t too_long(int64_t count, int64_t minutes, instant from, instant to)
{
    int64_t left = to > from ? (to - from) / SECONDS_PER_MINUTE : 0;
    int64_t work;
    if (__builtin_mul_overflow(count, minutes, &work)) work = INT64_MAX;
    return work > left ? work - left : 0;
}

/* What is mixed together begins within a day of its first. */
static bool mixing_too_long(const struct offer_case *offer, struct offer_view *trial)
{
    const struct catalogue *catalogue = trial->reckoning.catalogue;
    for (size_t i = 0; i < trial->mix_count; i++) {
        const struct offer_mix *of = &trial->mixes[i];
        struct mix mix = {.formula = of->formula};
        if (!offer_mix_grows(offer, of)) continue;
        if (!mix_divide(&trial->reckoning, &mix, of->dough)) return false;
        if (!mix.mixer) continue;
        int64_t each = mixer_minutes(&catalogue->formulas[of->formula]);
        int64_t minutes = too_long(mix.batches - 1, each, earliest(offer, of->begins),
                                   of->begins + SECONDS_PER_DAY);
        if (minutes <= trial->strain.minutes) continue;
        trial->strain = (struct offer_strain){
            .cause = FOR_MIXER, .formula = of->formula, .mixer = mix.mixer, .minutes = minutes};
    }
    return true;
}

/* Pieces that all decks take at once; 0: it is not known. */
static int64_t pieces_at_once(const struct bakery *bakery, const struct bake *bake)
{
    int64_t pieces = 0;
    for (size_t i = 0; i < bakery->oven_count; i++) {
        int64_t here;
        if (__builtin_mul_overflow(deck_capacity(&bakery->ovens[i], bake), bakery->ovens[i].decks,
                                   &here) ||
            __builtin_add_overflow(pieces, here, &pieces))
            return 0;
    }
    return pieces;
}

/* The longest of its doughs from the mixer to the shop. */
static int64_t longest_minutes(const struct catalogue *catalogue, const struct product *product)
{
    int64_t longest = 0;
    for (size_t k = 0; k < product->part_count; k++) {
        if (product->parts[k].kind != LINE_FORMULA) continue;
        int64_t minutes = formula_minutes(&catalogue->formulas[product->parts[k].index]);
        if (minutes > longest) longest = minutes;
    }
    return longest;
}

static void baking_too_long(const struct offer_case *offer, struct offer_view *trial)
{
    const struct demand *added = &trial->demands[trial->demand_count - 1];
    const struct catalogue *catalogue = trial->reckoning.catalogue;
    const struct product *product = &catalogue->products[added->product];
    const struct zone *zone = trial->reckoning.zone;
    int64_t at_once = pieces_at_once(&catalogue->bakery, &product->bake);
    int64_t minutes = 0;
    if (at_once == 0) return;
    for (size_t n = 0; n < product->bake.step_count; n++)
        minutes += product->bake.steps[n].minutes;
    instant needed = zone_instant(zone, offer->bread_day, 0) -
                     SECONDS_PER_MINUTE * longest_minutes(catalogue, product);
    minutes = too_long((added->pieces - 1) / at_once, minutes, earliest(offer, needed),
                       zone_instant(zone, offer->bread_day + 1, 0));
    if (minutes > 0)
        trial->strain = (struct offer_strain){.cause = FOR_OVEN,
                                              .formula = NOT_FOUND,
                                              .oven = &catalogue->bakery.ovens[0],
                                              .minutes = minutes};
}

/* --- what would have to begin too early --- */

/* Whether a batch begins with this task: it is none of its formula's later stages. */
static bool begins_dough(const struct reckoning *reckoning, const struct task *task)
{
    if (task->kind != TASK_MIX && task->kind != TASK_STAGE) return false;
    const struct formula *formula = &reckoning->catalogue->formulas[task->formula];
    for (size_t n = 1; n < formula->stage_count; n++)
        if (task->stage == &formula->stages[n]) return false;
    return true;
}

/* By how many seconds a batch would begin too early with this task; 0: it begins with another, or
 * in time. */
static int64_t too_early(const struct offer_case *offer, const struct offer_view *view,
                         const struct reckoning *reckoning, const struct task *task)
{
    if (!begins_dough(reckoning, task)) return 0;
    const struct offer_mix *mix = offer_view_mix(view, task->formula, task->mixing_date);
    instant first = earliest(offer, mix ? mix->begins : task->begins);
    return task->begins < first ? first - task->begins : 0;
}

static bool was_too_early(const struct offer_case *offer, const struct task *task)
{
    const struct offer_view *before = &offer->before;
    for (size_t i = 0; i < before->timetable.task_count; i++) {
        const struct task *other = &before->timetable.tasks[i];
        if (other->formula == task->formula && other->mixing_date == task->mixing_date &&
            other->batch == task->batch && too_early(offer, before, &before->reckoning, other) > 0)
            return true;
    }
    return false;
}

struct offer_delay offer_delay_of(const struct offer_case *offer, const struct offer_view *view,
                                  const struct reckoning *reckoning, const struct timetable *table)
{
    struct offer_delay delay = {NULL, 0};
    for (size_t i = 0; i < table->task_count; i++) {
        const struct task *task = &table->tasks[i];
        int64_t seconds = too_early(offer, view, reckoning, task);
        if (seconds > delay.seconds && !was_too_early(offer, task))
            delay = (struct offer_delay){task, seconds};
    }
    return delay;
}

static const struct oven *oven_of(const struct timetable *table, size_t formula)
{
    for (size_t i = 0; i < table->task_count; i++)
        if (table->tasks[i].kind == TASK_LOAD && table->tasks[i].formula == formula)
            return table->tasks[i].oven;
    return NULL;
}

static bool delayed(const struct offer_case *offer, struct offer_view *trial)
{
    struct offer_delay delay = offer_delay_of(offer, trial, &trial->reckoning, &trial->timetable);
    if (!delay.task) return true;
    trial->strain = (struct offer_strain){.cause = FOR_ANY,
                                          .formula = delay.task->formula,
                                          .minutes = (delay.seconds + SECONDS_PER_MINUTE - 1) /
                                                     SECONDS_PER_MINUTE};
    return !trial->wants_cause ||
           (offer_cause_of(offer, trial, &trial->strain.cause) && offer_blame(trial, delay.task));
}

/* --- what does not hold any more --- */

/* How much one break weighs. A tenth more than a dough may wait at most turns no order down. */
static int64_t weight_of(const struct timetable *table, const struct timetable_break *broken)
{
    int64_t minutes = broken->minutes > 0 ? broken->minutes : 1;
    if (broken->kind != BREAK_WAITS) return minutes;
    minutes -= table->tasks[broken->task].stage->most_minutes / 10;
    return minutes > 0 ? minutes : 0;
}

static int64_t broken_minutes(const struct timetable *table, enum break_kind kind)
{
    int64_t minutes = 0;
    for (size_t i = 0; i < table->break_count; i++)
        if (table->breaks[i].kind == kind &&
            __builtin_add_overflow(minutes, weight_of(table, &table->breaks[i]), &minutes))
            return INT64_MAX;
    return minutes;
}

/* A dough that breaks in that way, to be named. */
static size_t broken_formula(const struct timetable *table, enum break_kind kind)
{
    for (size_t i = 0; i < table->break_count; i++)
        if (table->breaks[i].kind == kind && table->breaks[i].task != NOT_FOUND)
            return table->tasks[table->breaks[i].task].formula;
    return NOT_FOUND;
}

static void broken(const struct offer_case *offer, struct offer_view *trial)
{
    static const struct {
        enum break_kind kind;
        enum offer_cause cause;
    } rows[] = {{BREAK_WAITS, FOR_OVEN}, {BREAK_COLD, FOR_COLD}};
    for (size_t n = 0; n < sizeof rows / sizeof *rows; n++) {
        int64_t minutes = broken_minutes(&trial->timetable, rows[n].kind) -
                          broken_minutes(&offer->before.timetable, rows[n].kind);
        if (minutes <= 0) continue;
        size_t formula = broken_formula(&trial->timetable, rows[n].kind);
        trial->strain = (struct offer_strain){
            .cause = rows[n].cause,
            .formula = formula,
            .oven = rows[n].cause == FOR_OVEN ? oven_of(&trial->timetable, formula) : NULL,
            .minutes = minutes};
        return;
    }
}

/* --- all of it --- */

static bool strain_of(struct offer_case *offer, struct offer_view *trial)
{
    struct offer_strain *strain = &trial->strain;
    if (!mixing_too_long(offer, trial)) return false;
    if (strain->cause == FOR_NOTHING) baking_too_long(offer, trial);
    if (strain->cause != FOR_NOTHING) return true;
    if (!offer_view_timetable(offer, &offer->before) || !offer_view_timetable(offer, trial) ||
        !delayed(offer, trial))
        return false;
    if (strain->cause == FOR_NOTHING) broken(offer, trial);
    return true;
}

static bool full_of(struct offer_case *offer, struct offer_view *trial, enum offer_cause cause,
                    struct offer_reason *reason, bool *binds)
{
    const struct offer_strain *strain = &trial->strain;
    if (!trial->has_strain && !strain_of(offer, trial)) return false;
    trial->has_strain = true;
    *binds = strain->cause == cause || strain->cause == FOR_ANY;
    if (!*binds) return true;
    reason->formula = strain->formula;
    reason->mixer = strain->mixer;
    reason->oven = strain->oven;
    reason->short_minutes = strain->minutes;
    return true;
}

bool offer_mixer_full(struct offer_case *offer, struct offer_view *trial,
                      struct offer_reason *reason, bool *binds)
{
    return full_of(offer, trial, FOR_MIXER, reason, binds);
}

bool offer_oven_full(struct offer_case *offer, struct offer_view *trial,
                     struct offer_reason *reason, bool *binds)
{
    return full_of(offer, trial, FOR_OVEN, reason, binds);
}

bool offer_cold_full(struct offer_case *offer, struct offer_view *trial,
                     struct offer_reason *reason, bool *binds)
{
    return full_of(offer, trial, FOR_COLD, reason, binds);
}

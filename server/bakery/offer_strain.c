/* Whether the machines and the hands suffice for more pieces.
 *
 * The timetable finds a place for everything, if need be an earlier one: what does not fit has to
 * begin before now, or to wait longer than it may. What had begun before the pieces were added is
 * taken to stay as it is. So many pieces that no machine could work through them until they are
 * wanted need no timetable.
 */
#include "bakery/offer_view.h"

#include "bakery/amount.h"

enum { SECONDS_PER_MINUTE = 60 };

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

/* By how many minutes so much work is longer than the time that is left for the bread day. */
static int64_t too_long(const struct offer_case *offer, int64_t count, int64_t minutes)
{
    instant end = zone_instant(offer->world->reckoning->zone, offer->bread_day + 1, 0);
    int64_t left = (end - offer->world->now) / SECONDS_PER_MINUTE;
    int64_t work;
    if (__builtin_mul_overflow(count, minutes, &work)) work = INT64_MAX;
    if (left < 0) left = 0;
    return work > left ? work - left : 0;
}

static bool mixing_too_long(const struct offer_case *offer, struct offer_view *trial)
{
    const struct catalogue *catalogue = trial->reckoning.catalogue;
    for (size_t i = 0; i < trial->mix_count; i++) {
        struct mix mix = {.formula = trial->mixes[i].formula};
        if (!offer_mix_grows(offer, &trial->mixes[i])) continue;
        if (!mix_divide(&trial->reckoning, &mix, trial->mixes[i].dough)) return false;
        if (!mix.mixer) continue;
        int64_t minutes = too_long(offer, mix.batches,
                                   mixer_minutes(&catalogue->formulas[mix.formula]));
        if (minutes <= trial->strain.minutes) continue;
        trial->strain = (struct offer_strain){
            .cause = FOR_MIXER, .formula = mix.formula, .mixer = mix.mixer, .minutes = minutes};
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

static void baking_too_long(const struct offer_case *offer, struct offer_view *trial)
{
    const struct demand *added = &trial->demands[trial->demand_count - 1];
    const struct catalogue *catalogue = trial->reckoning.catalogue;
    const struct bake *bake = &catalogue->products[added->product].bake;
    int64_t at_once = pieces_at_once(&catalogue->bakery, bake);
    int64_t minutes = 0;
    if (at_once == 0) return;
    for (size_t n = 0; n < bake->step_count; n++)
        minutes += bake->steps[n].minutes;
    minutes = too_long(offer, (added->pieces - 1) / at_once + 1, minutes);
    if (minutes > 0)
        trial->strain = (struct offer_strain){.cause = FOR_OVEN,
                                              .formula = NOT_FOUND,
                                              .oven = &catalogue->bakery.ovens[0],
                                              .minutes = minutes};
}

/* --- what would have to begin before now --- */

/* Whether a batch begins with this task: it is none of its formula's later stages. */
static bool begins_dough(const struct reckoning *reckoning, const struct task *task)
{
    if (task->kind != TASK_MIX && task->kind != TASK_STAGE) return false;
    const struct formula *formula = &reckoning->catalogue->formulas[task->formula];
    for (size_t n = 1; n < formula->stage_count; n++)
        if (task->stage == &formula->stages[n]) return false;
    return true;
}

static bool had_begun(const struct offer_case *offer, const struct task *task)
{
    const struct timetable *before = &offer->before.timetable;
    for (size_t i = 0; i < before->task_count; i++) {
        const struct task *other = &before->tasks[i];
        if (other->begins > offer->world->now) break;
        if (begins_dough(&offer->before.reckoning, other) && other->formula == task->formula &&
            other->mixing_date == task->mixing_date && other->batch == task->batch)
            return true;
    }
    return false;
}

/* Tasks stand by begin. */
const struct task *offer_late_task(const struct offer_case *offer,
                                   const struct reckoning *reckoning, const struct timetable *table)
{
    for (size_t i = 0; i < table->task_count; i++) {
        const struct task *task = &table->tasks[i];
        if (task->begins > offer->world->now) break;
        if (begins_dough(reckoning, task) && !had_begun(offer, task)) return task;
    }
    return NULL;
}

static const struct oven *oven_of(const struct timetable *table, size_t formula)
{
    for (size_t i = 0; i < table->task_count; i++)
        if (table->tasks[i].kind == TASK_LOAD && table->tasks[i].formula == formula)
            return table->tasks[i].oven;
    return NULL;
}

static bool late(const struct offer_case *offer, struct offer_view *trial)
{
    const struct bakery *bakery = &trial->reckoning.catalogue->bakery;
    const struct task *task = offer_late_task(offer, &trial->reckoning, &trial->timetable);
    enum offer_cause cause = FOR_ANY;
    if (!task) return true;
    if (trial->wants_cause && !offer_cause_of(offer, trial, &cause)) return false;
    const struct formula *formula = &trial->reckoning.catalogue->formulas[task->formula];
    trial->strain = (struct offer_strain){
        .cause = cause,
        .formula = task->formula,
        .mixer = cause == FOR_MIXER ? mixer_for(bakery, formula) : NULL,
        .oven = cause == FOR_OVEN ? oven_of(&trial->timetable, task->formula) : NULL,
        .minutes = (offer->world->now - task->begins) / SECONDS_PER_MINUTE + 1};
    return true;
}

/* --- what does not hold any more --- */

static int64_t broken_minutes(const struct timetable *table, enum break_kind kind)
{
    int64_t minutes = 0;
    for (size_t i = 0; i < table->break_count; i++) {
        int64_t one = table->breaks[i].kind != kind  ? 0
                      : table->breaks[i].minutes > 0 ? table->breaks[i].minutes
                                                     : 1;
        if (__builtin_add_overflow(minutes, one, &minutes)) return INT64_MAX;
    }
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
    } rows[] = {{BREAK_NO_ROOM, FOR_OVEN}, {BREAK_WAITS, FOR_OVEN}, {BREAK_COLD, FOR_COLD}};
    for (size_t n = 0; n < sizeof rows / sizeof *rows; n++) {
        int64_t minutes = broken_minutes(&trial->timetable, rows[n].kind) -
                          broken_minutes(&offer->before.timetable, rows[n].kind);
        if (minutes <= 0) continue;
        size_t formula = broken_formula(&trial->timetable, rows[n].kind);
        trial->strain = (struct offer_strain){
            .cause = rows[n].cause,
            .formula = formula,
            .oven = rows[n].cause == FOR_OVEN ? oven_of(&trial->timetable, formula) : NULL,
            .minutes = rows[n].kind == BREAK_NO_ROOM ? 0 : minutes};
        return;
    }
}

/* --- hands --- */

/* Minutes of one pair of hands that are missing. */
static int64_t missing_hands(const struct timetable *table)
{
    int64_t seconds = 0;
    for (size_t i = 0; i < table->hands_count; i++) {
        const struct hands_short *at = &table->hands[i];
        seconds += (at->to - at->from) * (at->needed - at->there);
    }
    return seconds / SECONDS_PER_MINUTE;
}

/* When hands are missing that were not before, or more of them. */
static instant first_missing(const struct timetable *before, const struct timetable *table)
{
    for (size_t i = 0; i < table->hands_count; i++) {
        const struct hands_short *at = &table->hands[i];
        bool known = false;
        for (size_t k = 0; k < before->hands_count && !known; k++)
            known = before->hands[k].from <= at->from && before->hands[k].to >= at->to &&
                    before->hands[k].needed >= at->needed;
        if (!known) return at->from;
    }
    return table->hands_count > 0 ? table->hands[0].from : 0;
}

/* --- all of it --- */

static bool strain_of(struct offer_case *offer, struct offer_view *trial)
{
    struct offer_strain *strain = &trial->strain;
    if (!mixing_too_long(offer, trial)) return false;
    if (strain->cause == FOR_NOTHING) baking_too_long(offer, trial);
    if (strain->cause != FOR_NOTHING) return true;
    if (!offer_view_timetable(offer, &offer->before) || !offer_view_timetable(offer, trial) ||
        !late(offer, trial))
        return false;
    if (strain->cause == FOR_NOTHING) broken(offer, trial);
    strain->hands_minutes = missing_hands(&trial->timetable) -
                            missing_hands(&offer->before.timetable);
    strain->hands_at = first_missing(&offer->before.timetable, &trial->timetable);
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

bool offer_hands_short(struct offer_case *offer, struct offer_view *trial,
                       struct offer_reason *reason, bool *binds)
{
    if (!trial->has_strain && !strain_of(offer, trial)) return false;
    trial->has_strain = true;
    *binds = trial->strain.hands_minutes > 0;
    if (!*binds) return true;
    reason->short_minutes = trial->strain.hands_minutes;
    reason->at = trial->strain.hands_at;
    return true;
}

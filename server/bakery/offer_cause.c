/* Which machine is to blame when bread would be late: each is given room without limit in turn, and
 * it is the one whose room makes the bread least late. Among equals the mixer, then the oven.
 */
#include "bakery/offer_view.h"

#include "bakery/amount.h"

#include <string.h>

/* Decks to spare for every load of a day, far above what stands in any bakery. */
enum { SPARE_DECKS = 200 };

/* --- mixers --- */

/* The stage that occupies the mixer; when none says so the first. */
static size_t mixed_stage(const struct formula *formula)
{
    for (size_t n = 0; n < formula->stage_count; n++)
        if (formula->stages[n].uses == USES_MIXER) return n;
    for (size_t n = 0; n < formula->stage_count; n++)
        if (formula->stages[n].uses != USES_NOTHING) return NOT_FOUND;
    return formula->stage_count > 0 && !formula->by_hand ? 0 : NOT_FOUND;
}

/* The mixer is free again as soon as it was begun: a stage of no minutes, and what it lasted after
 * it beside the mixer. */
static bool free_mixer(const struct reckoning *reckoning, struct formula *formula)
{
    size_t at = mixed_stage(formula);
    if (at == NOT_FOUND) return true;
    struct stage *stages = amount_memory(reckoning, formula->stage_count + 1, sizeof *stages);
    if (!stages) return false;
    memcpy(stages, formula->stages, (at + 1) * sizeof *stages);
    memcpy(stages + at + 1, formula->stages + at, (formula->stage_count - at) * sizeof *stages);
    stages[at].uses = USES_MIXER;
    stages[at].minutes = stages[at].most_minutes = 0;
    stages[at + 1].uses = USES_NOTHING;
    formula->stages = stages;
    formula->stage_count++;
    return true;
}

static bool free_mixers(const struct reckoning *reckoning, struct catalogue *catalogue)
{
    size_t count = catalogue->formula_count;
    struct formula *formulas = amount_memory(reckoning, count, sizeof *formulas);
    if (!formulas) return false;
    if (count > 0) memcpy(formulas, catalogue->formulas, count * sizeof *formulas);
    catalogue->formulas = formulas;
    for (size_t i = 0; i < count; i++)
        if (!free_mixer(reckoning, &formulas[i])) return false;
    return true;
}

/* --- ovens and the cold --- */

static bool free_ovens(const struct reckoning *reckoning, struct catalogue *catalogue)
{
    size_t count = catalogue->bakery.oven_count;
    struct oven *ovens = amount_memory(reckoning, count, sizeof *ovens);
    if (!ovens) return false;
    if (count > 0) memcpy(ovens, catalogue->bakery.ovens, count * sizeof *ovens);
    catalogue->bakery.ovens = ovens;
    for (size_t i = 0; i < count; i++)
        ovens[i].decks += SPARE_DECKS;
    return true;
}

static bool free_cold(const struct reckoning *reckoning, struct catalogue *catalogue)
{
    (void)reckoning;
    catalogue->bakery.cold_mg = 0;
    return true;
}

/* --- the blame --- */

static bool late_with(const struct offer_case *offer, const struct offer_view *trial,
                      bool (*make_room)(const struct reckoning *, struct catalogue *),
                      int64_t *late)
{
    struct catalogue catalogue = *trial->reckoning.catalogue;
    struct reckoning reckoning = trial->reckoning;
    struct timetable table;
    reckoning.catalogue = &catalogue;
    if (!make_room(&reckoning, &catalogue) ||
        !timetable_of(&reckoning, offer->bread_day, trial->demands, trial->demand_count, NULL, 0,
                      &table))
        return false;
    *late = offer_delay_of(offer, trial, &reckoning, &table).seconds;
    return true;
}

/* What is not there takes no blame. */
static bool has_any(const struct bakery *bakery, enum offer_cause cause)
{
    if (cause == FOR_OVEN) return bakery->oven_count > 0;
    if (cause == FOR_COLD) return bakery->cold_mg > 0;
    return true;
}

bool offer_cause_of(const struct offer_case *offer, const struct offer_view *trial,
                    enum offer_cause *cause)
{
    static const struct {
        enum offer_cause cause;
        bool (*make_room)(const struct reckoning *, struct catalogue *);
    } rows[] = {{FOR_MIXER, free_mixers}, {FOR_OVEN, free_ovens}, {FOR_COLD, free_cold}};
    const struct bakery *bakery = &trial->reckoning.catalogue->bakery;
    int64_t least = INT64_MAX;
    *cause = FOR_MIXER;
    for (size_t n = 0; n < sizeof rows / sizeof *rows && least > 0; n++) {
        int64_t late;
        if (!has_any(bakery, rows[n].cause)) continue;
        if (!late_with(offer, trial, rows[n].make_room, &late)) return false;
        if (late >= least) continue;
        least = late;
        *cause = rows[n].cause;
    }
    return true;
}

/* --- who is named --- */

/* Whether a task waits for one that was reached. Tasks stand by begin, so after what they wait for.
 */
static bool is_reached(const struct task *task, const bool *reached)
{
    for (size_t k = 0; k < task->after_count; k++)
        if (reached[task->after[k]]) return true;
    return false;
}

/* A preferment begins too early for the dough that takes it: that is named which is baked, or which
 * has the most batches in a mixer. */
bool offer_blame(struct offer_view *trial, const struct task *delayed)
{
    const struct timetable *table = &trial->timetable;
    const struct catalogue *catalogue = trial->reckoning.catalogue;
    struct offer_strain *strain = &trial->strain;
    bool *reached = amount_memory(&trial->reckoning, table->task_count, sizeof *reached);
    int64_t batches = 0;
    if (!reached) return false;
    for (size_t i = 0; i < table->task_count; i++) {
        const struct task *task = &table->tasks[i];
        reached[i] = task == delayed || is_reached(task, reached);
        bool told = strain->cause == FOR_OVEN ? task->kind == TASK_LOAD && !strain->oven
                                              : task->kind == TASK_MIX && task->batches > batches;
        if (!reached[i] || !told || strain->cause == FOR_COLD) continue;
        strain->formula = task->formula;
        strain->oven = task->oven;
        batches = task->batches;
    }
    if (strain->cause == FOR_MIXER)
        strain->mixer = mixer_for(&catalogue->bakery, &catalogue->formulas[strain->formula]);
    return true;
}

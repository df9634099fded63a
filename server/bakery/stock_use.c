/* What is used, what is usual, and how long it lasts.
 *
 * Means and sums are whole numbers; only the spread, an estimate, is worked out in floating ones.
 */
#include "bakery/stock_use.h"

#include "bakery/amount.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "base/fail.h"

#include <math.h>

enum { WEEKS_FOR_WEEKDAYS = 3 };

/* --- lists --- */

static bool mix_use(const struct reckoning *reckoning, const struct mix *mix, int64_t *lines,
                    int64_t *starters)
{
    size_t count = reckoning->catalogue->formulas[mix->formula].line_count;
    for (size_t n = 0; n < count; n++) {
        const struct line *line = mix->lines[n].line;
        int64_t *sums = line->kind == LINE_INGREDIENT ? lines : starters;
        int64_t mg;
        if (line->kind == LINE_FORMULA) continue; /* stands in the list of its own date */
        if (!amount_multiply_whole(reckoning, mix->batches, mix->lines[n].weigh_mg, &mg) ||
            !amount_add_whole(reckoning, &sums[line->index], mg))
            return false;
    }
    return true;
}

bool list_use_of(const struct reckoning *reckoning, const struct mixing_list *list, int64_t *lines,
                 int64_t *starters)
{
    for (size_t i = 0; i < list->mix_count; i++)
        if (!mix_use(reckoning, &list->mixes[i], lines, starters)) return false;
    return true;
}

static bool add_milligrams(const struct reckoning *reckoning, fixed grams, int64_t *sum)
{
    int64_t mg;
    return amount_milligrams(reckoning, grams, &mg) && amount_add_whole(reckoning, sum, mg);
}

/* Adds the ingredients of so many grams of a starter. */
static bool add_starter(const struct reckoning *reckoning, size_t starter, fixed grams,
                        int64_t *amounts)
{
    const fixed *composition = reckoning->breakdowns->starters[starter];
    for (size_t i = 0; i < reckoning->catalogue->ingredient_count; i++) {
        fixed part;
        if (composition[i] == 0) continue;
        if (!amount_scaled(reckoning, grams, composition[i], SHARE_ONE, &part) ||
            !add_milligrams(reckoning, part, &amounts[i]))
            return false;
    }
    return true;
}

bool starters_use_of(const struct reckoning *reckoning, const int64_t *starters, int64_t *amounts)
{
    for (size_t i = 0; i < reckoning->catalogue->starter_count; i++)
        if (starters[i] != 0 &&
            !add_starter(reckoning, i, fixed_from(starters[i], WEIGHT_PLACES), amounts))
            return false;
    return true;
}

static bool mix_theory(const struct reckoning *reckoning, const struct mix *mix, int64_t *amounts)
{
    const struct formula *formula = &reckoning->catalogue->formulas[mix->formula];
    const fixed *shares = amount_lines(reckoning, mix->formula);
    fixed dough = fixed_from(mix->dough_mg, WEIGHT_PLACES);
    for (size_t n = 0; shares && n < formula->line_count; n++) {
        const struct line *line = &formula->lines[n];
        fixed grams;
        if (line->kind == LINE_FORMULA) continue;
        if (!amount_scaled(reckoning, dough, shares[n], SHARE_ONE, &grams)) return false;
        bool added = line->kind == LINE_STARTER
                         ? add_starter(reckoning, line->index, grams, amounts)
                         : add_milligrams(reckoning, grams, &amounts[line->index]);
        if (!added) return false;
    }
    return shares != NULL;
}

bool list_theory_of(const struct reckoning *reckoning, const struct mixing_list *list,
                    int64_t *amounts)
{
    for (size_t i = 0; i < list->mix_count; i++)
        if (!mix_theory(reckoning, &list->mixes[i], amounts)) return false;
    return true;
}

/* --- products --- */

static bool baking_use(const struct reckoning *reckoning, const struct baking *baking,
                       int64_t *amounts)
{
    const struct product *product = &reckoning->catalogue->products[baking->product];
    int64_t amount;
    for (size_t k = 0; k < product->part_count; k++) {
        const struct part *part = &product->parts[k];
        if (part->kind != LINE_INGREDIENT) continue;
        if (!amount_multiply_whole(reckoning, baking->pieces, part->mg, &amount) ||
            !amount_add_whole(reckoning, &amounts[part->index], amount))
            return false;
    }
    for (size_t k = 0; k < product->packaging_count; k++) {
        const struct packaging *packaging = &product->packaging[k];
        if (!amount_multiply_whole(reckoning, baking->pieces, packaging->pieces, &amount) ||
            !amount_add_whole(reckoning, &amounts[packaging->index], amount))
            return false;
    }
    return true;
}

bool products_use_of(const struct reckoning *reckoning, const struct demand *demands,
                     size_t demand_count, date first, size_t days, int64_t *amounts)
{
    size_t count;
    struct baking *bakings = bakings_of(reckoning, demands, demand_count, &count);
    for (size_t i = 0; bakings && i < count; i++) {
        int64_t row = (int64_t)working_day(reckoning, bakings[i].ready) - first;
        if (row < 0 || row >= (int64_t)days) continue;
        if (!baking_use(reckoning, &bakings[i],
                        &amounts[(size_t)row * reckoning->catalogue->ingredient_count]))
            return false;
    }
    return bakings != NULL;
}

/* --- the usual week --- */

/* Sums of days; by weekday, 0 all of them. */
struct day_sums {
    __int128 amount[8];
    int64_t days[8];
};

static struct day_sums sums_of(date first, date last, const struct day_use *uses, size_t count)
{
    struct day_sums sums = {{0}, {0}};
    sums.days[0] = (int64_t)last - first + 1;
    for (int weekday = 1; weekday <= DAYS_PER_WEEK; weekday++) {
        int64_t before = (weekday - date_weekday(first) + DAYS_PER_WEEK) % DAYS_PER_WEEK;
        sums.days[weekday] = (sums.days[0] - before + DAYS_PER_WEEK - 1) / DAYS_PER_WEEK;
    }
    for (size_t i = 0; i < count; i++) {
        if (uses[i].date < first || uses[i].date > last) continue;
        sums.amount[0] += uses[i].amount;
        sums.amount[date_weekday(uses[i].date)] += uses[i].amount;
    }
    return sums;
}

static int64_t whole(__int128 value)
{
    return value > INT64_MAX ? INT64_MAX : value < 0 ? 0 : (int64_t)value;
}

static int64_t mean_up(__int128 sum, int64_t days)
{
    return whole((sum + days - 1) / days);
}

/* Whose mean a day is held against: its weekday's, or that of all days. */
static int mean_for(const struct day_sums *sums, int weekday)
{
    return sums->days[0] < WEEKS_FOR_WEEKDAYS * DAYS_PER_WEEK ? 0 : weekday;
}

/* Days that used nothing are as far off as their mean is large. */
static double squares_of(date first, date last, const struct day_use *uses, size_t count,
                         const struct day_sums *sums)
{
    int64_t idle[8];
    double means[8], squares = 0;
    for (int group = 0; group <= DAYS_PER_WEEK; group++) {
        idle[group] = sums->days[group];
        means[group] = idle[group] > 0 ? (double)sums->amount[group] / (double)idle[group] : 0;
    }
    for (size_t i = 0; i < count; i++) {
        if (uses[i].date < first || uses[i].date > last) continue;
        int group = mean_for(sums, date_weekday(uses[i].date));
        double off = (double)uses[i].amount - means[group];
        squares += off * off;
        idle[group]--;
    }
    bool one = mean_for(sums, 1) == 0;
    for (int group = one ? 0 : 1; group <= (one ? 0 : DAYS_PER_WEEK); group++)
        squares += (double)idle[group] * means[group] * means[group];
    return squares;
}

static int64_t spread_of(double squares, const struct day_sums *sums)
{
    int64_t means = mean_for(sums, 1) == 0 ? 1 : DAYS_PER_WEEK;
    if (sums->days[0] <= means) return 0; /* one day alone tells of no spread */
    double spread = ceil(sqrt(squares / (double)(sums->days[0] - means)));
    return spread < 9e18 ? (int64_t)spread : INT64_MAX;
}

struct usual_week usual_week_of(date first, date last, const struct day_use *uses, size_t count)
{
    struct usual_week usual = {.known = false};
    if (last < first) return usual;
    struct day_sums sums = sums_of(first, last, uses, count);
    __int128 week = 0;
    if (sums.amount[0] <= 0) return usual;
    usual.known = true;
    usual.mean_day = mean_up(sums.amount[0], sums.days[0]);
    for (int weekday = 1; weekday <= DAYS_PER_WEEK; weekday++) {
        usual.mean[weekday] = sums.days[weekday] > 0
                                  ? mean_up(sums.amount[weekday], sums.days[weekday])
                                  : usual.mean_day;
        week += usual.mean[weekday];
    }
    usual.week = whole(week);
    usual.spread = spread_of(squares_of(first, last, uses, count, &sums), &sums);
    return usual;
}

static int64_t usual_on(const struct usual_week *usual, date day)
{
    return usual->known ? usual->mean[date_weekday(day)] : 0;
}

int64_t use_left_of(const struct usual_week *usual, date day, int64_t planned, int64_t used)
{
    int64_t left = usual_on(usual, day);
    if (used > 0) left = used < left ? left - used : 0;
    return planned > left ? planned : left;
}

/* --- how long it lasts --- */

static bool deliver(struct fails *fails, struct course_day *day, bool is_first,
                    const struct delivery *deliveries, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (deliveries[i].due == day->date || (is_first && deliveries[i].due < day->date))
            if (__builtin_add_overflow(day->delivered, deliveries[i].amount, &day->delivered))
                return amounts_too_large(fails);
    return true;
}

static bool pass_day(struct fails *fails, struct course_day *day, int64_t before)
{
    int64_t there;
    if (__builtin_add_overflow(before, day->delivered, &there)) return amounts_too_large(fails);
    day->left = there > day->use ? there - day->use : 0;
    day->lacking = there < day->use ? day->use - there : 0;
    return true;
}

bool course_of(struct arena *arena, struct fails *fails, int64_t on_hand, date first, size_t days,
               const int64_t *planned, const struct usual_week *usual, date settled,
               const struct delivery *deliveries, size_t delivery_count, struct course_day **out,
               bool *runs, date *runs_out)
{
    struct course_day *course = arena_array(arena, days, sizeof *course);
    *out = course;
    *runs = false;
    if (!course) return fail_memory(fails);
    for (size_t i = 0; i < days; i++) {
        struct course_day *day = &course[i];
        day->date = first + (date)i;
        day->use = planned[i];
        int64_t expected = usual_on(usual, day->date);
        if (day->date >= settled && expected > day->use) day->use = expected;
        if (!deliver(fails, day, i == 0, deliveries, delivery_count) ||
            !pass_day(fails, day, i == 0 ? on_hand : course[i - 1].left))
            return false;
        if (day->lacking == 0 || *runs) continue;
        *runs = true;
        *runs_out = day->date;
    }
    return true;
}

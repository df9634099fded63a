/* /stock-use: what was used of each ingredient, week by week, held against what the formulas asked
 * for. */
#include "store/stock_use.h"
#include "api/amount_body.h"
#include "api/handlers.h"
#include "api/number.h"
#include "api/reckon.h"
#include "bakery/amount.h"
#include "bakery/stock_plan.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/stock.h"

enum { WEEKS_DEFAULT = 4, WEEKS_MAX = 53 };

struct use_view {
    struct day day;
    date monday;
    int64_t weeks;
    struct stock_set kept;
    date *first_uses;      /* of each ingredient; 0: none yet. What formulas asked for before that
                              is not held against what was used */
    struct week_use *uses; /* weeks rows of the catalogue's ingredients */
};

static bool read_span(struct request *request, struct use_view *view)
{
    const char *from = request_query(request, "from");
    const char *weeks = request_query(request, "weeks");
    date day;
    view->weeks = WEEKS_DEFAULT;
    if (weeks != NULL && (!number_parse(weeks, &view->weeks) || view->weeks > WEEKS_MAX))
        fail_add(&request->fails, FAIL_INVALID, "", "weeks must be a whole number from 1 to %d",
                 (int)WEEKS_MAX);
    if (from != NULL && !date_parse(from, &day))
        fail_add(&request->fails, FAIL_INVALID, "", "from must be a day as YYYY-MM-DD");
    if (fails_any(&request->fails)) return false;
    date today = working_day(&view->day.reckoning, instant_now());
    view->monday = from != NULL ? iso_monday_of(day)
                                : iso_monday_of(today) - (date)view->weeks * DAYS_PER_WEEK;
    return (view->monday >= DATE_FIRST &&
            view->monday + (date)view->weeks * DAYS_PER_WEEK - 1 <= DATE_LAST) ||
           fail_add(&request->fails, FAIL_INVALID, "", "these weeks are out of the calendar");
}

static bool load_theory(struct request *request, struct use_view *view, int64_t *theory)
{
    struct stock_plan plan = {.reckoning = &view->day.reckoning,
                              .first = view->monday,
                              .days = (size_t)view->weeks * DAYS_PER_WEEK};
    date first, last;
    stock_plan_horizon(plan.reckoning, plan.first, plan.days, &first, &last);
    if (!day_load_demands(request, &view->day, first, last)) return false;
    plan.demands = view->day.demands;
    plan.demand_count = view->day.demand_count;
    return week_theory_of(&plan, view->first_uses, theory);
}

static bool load(struct request *request, struct use_view *view)
{
    struct tx *tx = request->tx;
    struct moved_sum *sums;
    size_t count;
    if (!day_open(request, &view->day) || !read_span(request, view)) return false;
    const struct reckoning *reckoning = &view->day.reckoning;
    size_t ingredients = view->day.catalogue.ingredient_count;
    size_t room = (size_t)view->weeks * ingredients;
    int64_t *theory = amount_memory(reckoning, room, sizeof *theory);
    view->kept.catalogue = &view->day.catalogue;
    view->kept.in = amount_memory(reckoning, ingredients, sizeof(bool));
    view->uses = amount_memory(reckoning, room, sizeof *view->uses);
    view->first_uses = amount_memory(reckoning, ingredients, sizeof *view->first_uses);
    return theory != NULL && view->kept.in != NULL && view->uses != NULL &&
           view->first_uses != NULL && stock_kept(tx, &view->kept) &&
           first_uses_load(tx, &view->day.catalogue, NULL, view->first_uses) &&
           load_theory(request, view, theory) &&
           moved_sums_load(tx, &view->day.catalogue, NULL, view->monday,
                           view->monday + (date)view->weeks * DAYS_PER_WEEK - 1, &sums, &count) &&
           week_uses_of(reckoning, sums, count, view->monday, (size_t)view->weeks, theory,
                        view->uses);
}

static void write_use(struct json_writer *json, const char *week, date monday,
                      const struct ingredient *ingredient, const struct week_use *use)
{
    const struct {
        const char *stem;
        int64_t amount;
    } amounts[] = {{"theory", use->theory},   {"posted", use->posted}, {"wasted", use->wasted},
                   {"counted", use->counted}, {"actual", use->actual}, {"over", use->over}};
    json_open_object(json, NULL);
    json_put_text(json, "week", week);
    json_put_date(json, "from", monday);
    json_put_date(json, "to", monday + DAYS_PER_WEEK - 1);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    for (size_t i = 0; i < sizeof amounts / sizeof *amounts; i++)
        amount_write(json, amounts[i].stem, ingredient->unit, amounts[i].amount);
    json_put_decimal_or_null(json, "over_pct", use->over_pct, PERCENT_PLACES, use->has_pct);
    json_close(json);
}

static bool write_week(struct request *request, struct json_writer *json,
                       const struct use_view *view, size_t row)
{
    const struct catalogue *catalogue = &view->day.catalogue;
    date monday = view->monday + (date)row * DAYS_PER_WEEK;
    int year, number;
    iso_week_of(monday, &year, &number);
    const char *week = arena_printf(request->arena, "%04d-W%02d", year, number);
    if (week == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; i < catalogue->ingredient_count; i++) {
        const struct week_use *use = &view->uses[row * catalogue->ingredient_count + i];
        if (view->kept.in[i] && use->any)
            write_use(json, week, monday, &catalogue->ingredients[i], use);
    }
    return true;
}

bool list_stock_use(struct request *request)
{
    struct use_view view = {.weeks = 0};
    if (!load(request, &view)) return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_open_list(json, "items");
    for (size_t row = 0; row < (size_t)view.weeks; row++)
        if (!write_week(request, json, &view, row)) return false;
    json_close(json);
    json_put_null(json, "next");
    json_close(json);
    reply_etag(request);
    return true;
}

/* Loading all that tells how long the stock lasts, and putting it together.
 *
 * The working day is the first day of every course: what its lists still take, and the lists before
 * it that were printed and not posted, are taken on it. The days from today on whose lists were
 * printed are settled: nothing else is expected of them.
 */
#include "api/stock_outlook.h"

#include "api/starter_pot.h"
#include "bakery/amount.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "http/request.h"
#include "store/purchase_order.h"
#include "store/stock.h"
#include "store/stock_use.h"
#include "json/reader.h"

#include <string.h>

enum { PRINT_ITEMS_MAX = 100000 };

/* What the items are put together from; rows as in bakery/stock_plan.h. */
struct facts {
    struct request *request;
    struct day *day;
    date by; /* the last day whose movements count */
    struct stock_set kept;
    struct printed_line *lines; /* by date */
    size_t line_count, line_room;
    date settled; /* the first day from today on whose list was not printed */
    struct posted_batch *posted;
    size_t posted_count;
    struct awaited *awaited; /* by ingredient */
    size_t awaited_count;
    struct moved_sum *moved; /* by ingredient and date */
    size_t moved_count;
    date *first_uses;
    int64_t *planned;
    int64_t *spoken_for;
};

/* --- what is there --- */

static bool load_shelves(struct facts *facts, struct stock_outlook *out)
{
    struct tx *tx = facts->request->tx;
    size_t count = facts->day->catalogue.ingredient_count;
    facts->kept.catalogue = &facts->day->catalogue;
    facts->kept.in = amount_memory(&facts->day->reckoning, count, sizeof(bool));
    out->items = amount_memory(&facts->day->reckoning, count, sizeof *out->items);
    if (facts->kept.in == NULL || out->items == NULL || !stock_kept(tx, &facts->kept) ||
        !shelves_load(tx, &facts->kept, facts->by, 0, &out->shelves, &out->shelf_count))
        return false;
    for (size_t i = 0; i < count; i++)
        if (facts->kept.in[i]) out->items[out->count++].ingredient = i;
    return true;
}

static bool add_shelf(const struct reckoning *reckoning, struct stock_item *item,
                      const struct shelf *shelf, date day)
{
    bool expired = best_before_passed(shelf->has_best_before, shelf->best_before, day);
    int64_t *kind = shelf->held ? &item->held : expired ? &item->expired : &item->usable;
    if (shelf->on_day == 0) return true;
    if (kind == &item->usable && shelf->has_best_before &&
        (!item->has_best_before || shelf->best_before < item->best_before)) {
        item->has_best_before = true;
        item->best_before = shelf->best_before;
    }
    return amount_add_whole(reckoning, kind, shelf->on_day) &&
           amount_add_whole(reckoning, &item->on_hand, shelf->on_day);
}

/* Shelves and items stand in the same order. */
static bool add_shelves(const struct facts *facts, struct stock_outlook *out)
{
    const struct reckoning *reckoning = &facts->day->reckoning;
    date day = facts->by == DATE_LAST || facts->by < out->calendar ? out->calendar : facts->by;
    size_t at = 0;
    for (size_t i = 0; i < out->shelf_count; i++) {
        while (out->items[at].ingredient != out->shelves[i].ingredient)
            at++;
        if (!add_shelf(reckoning, &out->items[at], &out->shelves[i], day)) return false;
    }
    return true;
}

/* --- printed lists --- */

static struct printed_line *next_line(struct facts *facts)
{
    struct reckoning *reckoning = &facts->day->reckoning;
    if (facts->line_count == facts->line_room) {
        size_t room = facts->line_room * 2 + 64;
        struct printed_line *lines = amount_memory(reckoning, room, sizeof *lines);
        if (lines == NULL) return NULL;
        if (facts->line_count > 0) memcpy(lines, facts->lines, facts->line_count * sizeof *lines);
        facts->lines = lines;
        facts->line_room = room;
    }
    return &facts->lines[facts->line_count++];
}

/* Reads the ingredients of a mix as it was printed. Those that are in the catalogue no more are not
 * kept either. */
static bool read_mix(struct facts *facts, const struct json_node *node, date mixing_date)
{
    const struct catalogue *catalogue = &facts->day->catalogue;
    struct json_object mix, in;
    struct json_list lines;
    struct json_node item;
    json_object_open(&mix, *node);
    const char *formula = json_code(&mix, "formula", JSON_REQUIRED);
    int64_t batches = json_whole(&mix, "batches", JSON_REQUIRED, 0, INT64_MAX, 0);
    json_list_member(&mix, "lines", JSON_REQUIRED, 0, PRINT_ITEMS_MAX, &lines);
    while (formula != NULL && json_list_next(&lines, &item)) {
        json_object_open(&in, item);
        const char *code = json_code(&in, "ingredient", JSON_OPTIONAL);
        int64_t weigh_mg = json_decimal(&in, "weigh_g", JSON_REQUIRED, WEIGHT_PLACES, 0, INT64_MAX,
                                        0);
        size_t ingredient = code != NULL ? catalogue_ingredient(catalogue, code) : NOT_FOUND;
        if (ingredient == NOT_FOUND) continue;
        struct printed_line *line = next_line(facts);
        if (line == NULL) return false;
        *line = (struct printed_line){mixing_date, catalogue_formula(catalogue, formula), batches,
                                      ingredient, weigh_mg};
    }
    return !fails_any(&facts->request->fails);
}

static bool read_print(struct facts *facts, const struct last_print *print)
{
    struct request *request = facts->request;
    struct json_node root, item;
    struct json_object in;
    struct json_list mixes;
    if (!json_parse(request->arena, &request->fails, print->body, strlen(print->body), &root))
        return false;
    json_object_open(&in, root);
    json_list_member(&in, "mixes", JSON_REQUIRED, 0, PRINT_ITEMS_MAX, &mixes);
    while (json_list_next(&mixes, &item))
        if (!read_mix(facts, &item, print->mixing_date)) return false;
    return !fails_any(&request->fails);
}

static bool load_prints(struct facts *facts, date today)
{
    struct last_print *prints;
    size_t count;
    facts->settled = today;
    if (!last_prints_load(facts->request->tx, today - 1, &prints, &count)) return false;
    for (size_t i = 0; i < count; i++) {
        if (prints[i].mixing_date == facts->settled) facts->settled++;
        if (!read_print(facts, &prints[i])) return false;
    }
    return true;
}

/* --- what orders and lists take --- */

static bool load_planned(struct facts *facts, date today)
{
    struct day *day = facts->day;
    struct reckoning *reckoning = &day->reckoning;
    date first, last;
    stock_plan_horizon(reckoning, today, OUTLOOK_DAYS, &first, &last);
    const struct pot_state *pots = starter_pots_load(facts->request, day);
    facts->planned = amount_memory(reckoning, OUTLOOK_DAYS * day->catalogue.ingredient_count,
                                   sizeof *facts->planned);
    if (pots == NULL || facts->planned == NULL ||
        !day_load_demands(facts->request, day, first, last))
        return false;
    struct stock_plan plan = {.reckoning = reckoning,
                              .first = today,
                              .days = OUTLOOK_DAYS,
                              .demands = day->demands,
                              .demand_count = day->demand_count,
                              .posted = facts->posted,
                              .posted_count = facts->posted_count,
                              .pots = pots};
    return planned_use_of(&plan, facts->planned);
}

/* What printed lists weigh. Those before today were not posted in time, and count as today's. */
static bool speak_for(struct facts *facts, date today)
{
    struct reckoning *reckoning = &facts->day->reckoning;
    size_t count = facts->day->catalogue.ingredient_count;
    size_t late = 0;
    facts->spoken_for = amount_memory(reckoning, count, sizeof *facts->spoken_for);
    if (facts->spoken_for == NULL) return false;
    while (late < facts->line_count && facts->lines[late].mixing_date < today)
        late++;
    if (!printed_use_of(reckoning, facts->lines, late, facts->posted, facts->posted_count,
                        facts->spoken_for))
        return false;
    for (size_t i = 0; i < count; i++)
        if (!amount_add_whole(reckoning, &facts->planned[i], facts->spoken_for[i])) return false;
    return printed_use_of(reckoning, facts->lines + late, facts->line_count - late, facts->posted,
                          facts->posted_count, facts->spoken_for);
}

static bool load_uses(struct facts *facts, date today)
{
    struct tx *tx = facts->request->tx;
    const struct catalogue *catalogue = &facts->day->catalogue;
    facts->first_uses = amount_memory(&facts->day->reckoning, catalogue->ingredient_count,
                                      sizeof *facts->first_uses);
    return facts->first_uses != NULL && first_uses_load(tx, catalogue, NULL, facts->first_uses) &&
           moved_sums_load(tx, catalogue, NULL, today - USUAL_DAYS, today, &facts->moved,
                           &facts->moved_count);
}

/* Those that are dated later are still to come. */
static bool load_posted(struct facts *facts, date today)
{
    if (!posted_batches_load(facts->request->tx, &facts->day->catalogue, today - 1, &facts->posted,
                             &facts->posted_count))
        return false;
    while (facts->posted_count > 0 &&
           facts->posted[facts->posted_count - 1].mixing_date > facts->by)
        facts->posted_count--;
    return true;
}

static bool load_facts(struct facts *facts, date today)
{
    struct tx *tx = facts->request->tx;
    const struct catalogue *catalogue = &facts->day->catalogue;
    return load_prints(facts, today) && load_posted(facts, today) && load_planned(facts, today) &&
           speak_for(facts, today) && load_uses(facts, today) &&
           awaited_load(tx, catalogue, &facts->awaited, &facts->awaited_count);
}

/* --- one ingredient --- */

/* The sums of an ingredient, which stand together. */
static const struct moved_sum *sums_of(const struct facts *facts, size_t ingredient, size_t *count)
{
    size_t first = 0, end;
    while (first < facts->moved_count && facts->moved[first].ingredient < ingredient)
        first++;
    for (end = first; end < facts->moved_count && facts->moved[end].ingredient == ingredient;)
        end++;
    *count = end - first;
    return facts->moved + first;
}

/* What was used of an ingredient, by day. */
static bool uses_of(const struct facts *facts, size_t ingredient, struct day_use **uses,
                    size_t *count)
{
    const struct reckoning *reckoning = &facts->day->reckoning;
    size_t sum_count;
    const struct moved_sum *sums = sums_of(facts, ingredient, &sum_count);
    *uses = amount_memory(reckoning, sum_count, sizeof **uses);
    *count = 0;
    for (size_t i = 0; *uses != NULL && i < sum_count; i++) {
        if (!moved_is_use(sums[i].kind)) continue;
        if (*count == 0 || (*uses)[*count - 1].date != sums[i].date)
            (*uses)[(*count)++] = (struct day_use){.date = sums[i].date, .ingredient = ingredient};
        if (!amount_add_whole(reckoning, &(*uses)[*count - 1].amount, -sums[i].delta)) return false;
    }
    return *uses != NULL;
}

static int64_t used_on(const struct day_use *uses, size_t count, date day)
{
    return count > 0 && uses[count - 1].date == day ? uses[count - 1].amount : 0;
}

static bool deliveries_of(const struct facts *facts, struct stock_item *item,
                          struct delivery **deliveries, size_t *count)
{
    const struct reckoning *reckoning = &facts->day->reckoning;
    *deliveries = amount_memory(reckoning, facts->awaited_count, sizeof **deliveries);
    *count = 0;
    for (size_t i = 0; *deliveries != NULL && i < facts->awaited_count; i++) {
        const struct awaited *awaited = &facts->awaited[i];
        if (awaited->ingredient != item->ingredient) continue;
        (*deliveries)[(*count)++] = (struct delivery){awaited->due, awaited->amount};
        if (!amount_add_whole(reckoning, &item->on_order, awaited->amount)) return false;
    }
    return *deliveries != NULL;
}

/* What the orders ask of an ingredient, day by day. */
static int64_t *planned_of(const struct facts *facts, size_t ingredient)
{
    int64_t *planned = amount_memory(&facts->day->reckoning, OUTLOOK_DAYS, sizeof *planned);
    for (size_t d = 0; planned != NULL && d < OUTLOOK_DAYS; d++)
        planned[d] = facts->planned[d * facts->day->catalogue.ingredient_count + ingredient];
    return planned;
}

static bool look_ahead(const struct facts *facts, date today, struct stock_item *item)
{
    struct day_use *uses;
    struct delivery *deliveries;
    size_t use_count, delivery_count;
    date settled = facts->settled;
    date first = facts->first_uses[item->ingredient];
    int64_t *planned = planned_of(facts, item->ingredient);
    item->spoken_for = facts->spoken_for[item->ingredient];
    item->unspoken = item->usable - item->spoken_for;
    if (planned == NULL || !uses_of(facts, item->ingredient, &uses, &use_count) ||
        !deliveries_of(facts, item, &deliveries, &delivery_count))
        return false;
    if (first < today - USUAL_DAYS) first = today - USUAL_DAYS;
    item->usual = usual_week_of(first, today - 1, uses, use_count);
    if (settled == today) {
        planned[0] = use_left_of(&item->usual, today, planned[0], used_on(uses, use_count, today));
        settled = today + 1;
    }
    bool done = course_of(facts->request->arena, &facts->request->fails, item->usable, today,
                          OUTLOOK_DAYS, planned, &item->usual, settled, deliveries, delivery_count,
                          &item->course, &item->runs, &item->runs_out);
    item->cover_days = item->runs_out - today;
    return done;
}

bool stock_outlook_load(struct request *request, struct day *day, date by,
                        struct stock_outlook *out)
{
    struct facts facts = {.request = request, .day = day, .by = by};
    *out = (struct stock_outlook){0};
    if (!day_open(request, day)) return false;
    out->today = working_day(&day->reckoning, instant_now());
    out->calendar = today_of(day);
    if (!load_shelves(&facts, out) || !add_shelves(&facts, out) || !load_facts(&facts, out->today))
        return false;
    for (size_t i = 0; i < out->count; i++)
        if (!look_ahead(&facts, out->today, &out->items[i])) return false;
    return true;
}

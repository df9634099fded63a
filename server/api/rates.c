/* /rates: what labour, energy, overhead and delivery cost, each state from a date on. */
#include "store/rates.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/money.h"
#include "api/resource.h"
#include "base/fail.h"

static bool select_rates(struct tx *tx, const struct selection *selection, void **items,
                         size_t *count)
{
    struct rates_entry *list = NULL;
    bool ok = rates_select(tx, selection, &list, count);
    *items = list;
    return ok;
}

static bool store_rates(struct tx *tx, void *thing)
{
    return rates_put(tx, thing);
}

static struct money read_money(struct json_object *body, const char *name)
{
    struct money money = {.known = json_has(body, name)};
    money.micros = json_money(body, name, JSON_OPTIONAL, 0, PRICE_MAX, 0);
    return money;
}

/* A sum and what it is divided by: both or neither. */
static int64_t read_base(struct json_object *body, const char *sum, const char *name)
{
    int64_t base = json_whole(body, name, JSON_OPTIONAL, 1, BASE_MAX, 0);
    if (json_has(body, sum) && !json_has(body, name))
        json_fault(body, name, "must be there along with %s", sum);
    if (json_has(body, name) && !json_has(body, sum))
        json_fault(body, sum, "must be there along with %s", name);
    return base;
}

static void read_rates(struct json_object *body, void *thing)
{
    struct rates_entry *entry = thing;
    struct rates *rates = &entry->rates;
    rates->known = true;
    rates->hand_hour = read_money(body, "hand_hour");
    rates->kwh = read_money(body, "kwh");
    rates->overhead_month = read_money(body, "overhead_month");
    rates->overhead_by = (enum overhead_by)json_word(body, "overhead_by", JSON_OPTIONAL,
                                                     overhead_bys, OVERHEAD_BY_MINUTES);
    rates->overhead_base = read_base(body, "overhead_month", "overhead_base");
    rates->round = read_money(body, "round");
    rates->round_pieces = read_base(body, "round", "round_pieces");
}

/* The code of rates is the date that they hold from. */
static bool check_rates(struct request *request, void *thing, const void *old)
{
    struct rates_entry *entry = thing;
    (void)old;
    if (!date_parse(entry->code, &entry->rates.from))
        fail_add(&request->fails, FAIL_INVALID, "",
                 "the address must end with a day as YYYY-MM-DD");
    return true;
}

static void write_rates(struct json_writer *json, const void *thing)
{
    const struct rates_entry *entry = thing;
    const struct rates *rates = &entry->rates;
    json_put_text(json, "from", entry->code);
    money_write(json, "hand_hour", rates->hand_hour);
    money_write(json, "kwh", rates->kwh);
    money_write(json, "overhead_month", rates->overhead_month);
    json_put_text(json, "overhead_by", overhead_bys[rates->overhead_by]);
    json_put_whole_or_null(json, "overhead_base", rates->overhead_base,
                           rates->overhead_month.known);
    money_write(json, "round", rates->round);
    json_put_whole_or_null(json, "round_pieces", rates->round_pieces, rates->round.known);
}

static const struct resource rates_resource = {
    .kind = "rates",
    .size = sizeof(struct rates_entry),
    .revision_at = offsetof(struct rates_entry, revision),
    .select = select_rates,
    .put = store_rates,
    .remove = rates_delete,
    .read = read_rates,
    .check = check_rates,
    .write = write_rates,
};

RESOURCE_HANDLERS(rates, rates_resource)

/* Trees of reasons on the wire. Depth is bounded by the nesting of formulas and the writer's. */
#include "api/why_body.h"

#include "base/decimal.h"

static const char *const units[] = {
    [WHY_NOTHING] = NULL,     [WHY_GRAMS] = "g",        [WHY_PIECES] = "piece",
    [WHY_MINUTES] = "minute", [WHY_WATT_HOURS] = "kWh", [WHY_PERCENT] = "pct"};

/* Decimals between what is kept and the unit that is written. */
static const int unit_places[] = {[WHY_GRAMS] = WEIGHT_PLACES,
                                  [WHY_PIECES] = 0,
                                  [WHY_MINUTES] = MINUTE_PLACES,
                                  [WHY_WATT_HOURS] = 6,
                                  [WHY_PERCENT] = PERCENT_PLACES};

static void write_value(struct json_writer *json, const struct why *node, enum why_figure figure,
                        int places)
{
    if (figure == FIGURE_MONEY)
        json_put_money(json, "value", node->value, places);
    else
        json_put_decimal(json, "value", node->value, figure == FIGURE_GRAMS ? WEIGHT_PLACES : 0);
    json_put_bool(json, "missing", node->missing);
}

static void write_rate(struct json_writer *json, const struct why_rate *rate, int places)
{
    if (!rate->known) return;
    json_open_object(json, "rate");
    json_put_money(json, "price", rate->micros, places);
    json_put_decimal(json, "per", rate->quantity, unit_places[rate->unit]);
    json_put_text(json, "unit", units[rate->unit]);
    json_put_date(json, "from", rate->from);
    json_close(json);
}

void why_write_members(struct json_writer *json, const struct why *node, enum why_figure figure,
                       int places)
{
    json_put_text(json, "what", node->what);
    write_value(json, node, figure, places);
    if (node->unit != WHY_NOTHING) {
        json_put_decimal(json, "quantity", node->quantity, unit_places[node->unit]);
        json_put_text(json, "unit", units[node->unit]);
    }
    write_rate(json, &node->rate, places);
    if (node->source != NULL) json_put_text(json, "where", node->source);
    json_open_list(json, "children");
    for (const struct why *child = node->first; child != NULL; child = child->next) {
        json_open_object(json, NULL);
        why_write_members(json, child, figure, places);
        json_close(json);
    }
    json_close(json);
}

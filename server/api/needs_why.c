/* /days/{date}/needs?why=INGREDIENT: which orders, through which formula lines, need it. */
#include "api/needs_why.h"
#include "api/cost_day.h"
#include "api/why_body.h"
#include "base/decimal.h"
#include "http/request.h"
#include "store/demand.h"

bool answer_need_why(struct request *request, const struct day *day, date bread_day,
                     const char *code)
{
    struct order_pieces *orders;
    struct why *why;
    size_t count;
    size_t ingredient = catalogue_ingredient(&day->catalogue, code);
    if (ingredient == NOT_FOUND)
        return fail_add(&request->fails, FAIL_INVALID, "", "there is no ingredient %s", code);
    if (!order_pieces_load(request->tx, &day->catalogue, bread_day, &orders, &count) ||
        !need_why(&day->reckoning, bread_day, day->demands, day->demand_count, orders, count,
                  ingredient, &why))
        return false;
    bool weighed = day->catalogue.ingredients[ingredient].unit == UNIT_GRAM;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", bread_day);
    json_put_text(json, "ingredient", code);
    json_put_text(json, "name", day->catalogue.ingredients[ingredient].name);
    json_put_decimal(json, weighed ? "g" : "pieces", why->value, weighed ? WEIGHT_PLACES : 0);
    json_open_object(json, "why");
    why_write_members(json, why, weighed ? FIGURE_GRAMS : FIGURE_PIECES, day->money_places);
    json_close(json);
    json_close(json);
    reply_etag(request);
    return true;
}

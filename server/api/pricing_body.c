/* Prices on the wire. */
#include "api/pricing_body.h"

#include "api/limits.h"
#include "api/money.h"
#include "base/decimal.h"
#include "base/fail.h"

static const struct {
    const char *name;
    enum target_kind kind;
    int64_t least, most;
} targets[] = {
    {"margin_pct", TARGET_MARGIN, 0, PERCENT_ALL - 1},
    {"markup_pct", TARGET_MARKUP, 0, PERCENT_MAX},
    {"ingredient_share_pct", TARGET_INGREDIENT_SHARE, 1, PERCENT_ALL},
};

enum { TARGETS = sizeof targets / sizeof *targets };

void target_read(struct json_object *body, enum target_kind *kind, int64_t *pct)
{
    struct json_object target;
    int named = 0;
    if (!json_object_member(body, "target", JSON_OPTIONAL, &target)) return;
    for (int i = 0; i < TARGETS; i++) {
        if (!json_has(&target, targets[i].name)) continue;
        named++;
        *kind = targets[i].kind;
        *pct = json_decimal(&target, targets[i].name, JSON_OPTIONAL, PERCENT_PLACES,
                            targets[i].least, targets[i].most, targets[i].least);
    }
    if (named != 1)
        fail_add(target.node.fails, FAIL_INVALID, target.node.path,
                 "must name exactly one of margin_pct, markup_pct and ingredient_share_pct");
    json_object_close(&target);
}

void target_write(struct json_writer *json, enum target_kind kind, int64_t pct)
{
    if (kind == TARGET_NONE) {
        json_put_null(json, "target");
        return;
    }
    json_open_object(json, "target");
    for (int i = 0; i < TARGETS; i++)
        if (targets[i].kind == kind) json_put_decimal(json, targets[i].name, pct, PERCENT_PLACES);
    json_close(json);
}

void figures_write(struct json_writer *json, const struct price_figures *figures, int places)
{
    static const struct price_figures nothing;
    const struct price_figures *f = figures != NULL ? figures : &nothing;
    money_write_known(json, "price", f->price_micros, figures != NULL, places);
    money_write_known(json, "net_price", f->net_micros, figures != NULL, places);
    percent_write_known(json, "margin_pct", f->margin_pct, f->has_margin);
    percent_write_known(json, "markup_pct", f->markup_pct, f->has_markup);
    percent_write_known(json, "ingredient_share_pct", f->ingredient_share_pct, f->has_margin);
}

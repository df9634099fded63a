/* Reading the changes of a what-if: each object names what it changes and how. */
#include "api/change_body.h"

#include "api/limits.h"
#include "api/pricing_body.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "base/fail.h"

#define RATE_MAX  PRICE_MAX
#define PCT_LEAST (-PERCENT_ALL)

/* A thing by its code; NOT_FOUND with a fault when there is none of it. */
static size_t read_thing(struct json_object *in, const char *name,
                         size_t (*find)(const struct catalogue *, const char *),
                         const struct catalogue *catalogue)
{
    const char *code = json_code(in, name, JSON_OPTIONAL);
    size_t index = code != NULL ? find(catalogue, code) : NOT_FOUND;
    if (code != NULL && index == NOT_FOUND) json_fault(in, name, "does not exist");
    return index;
}

/* Exactly one of pct, add and value (or price) says by how much. */
static void read_amount(struct json_object *in, struct change *change, const char *value)
{
    bool pct = json_has(in, "pct"), add = json_has(in, "add"), whole = json_has(in, value);
    if (pct + add + whole != 1) {
        fail_add(in->node.fails, FAIL_INVALID, in->node.path,
                 "must have exactly one of pct, add and %s", value);
    } else if (pct) {
        change->by = BY_PCT;
        change->value = json_decimal(in, "pct", JSON_OPTIONAL, PERCENT_PLACES, PCT_LEAST,
                                     PERCENT_MAX, 0);
    } else {
        const char *name = add ? "add" : value;
        change->by = add ? BY_ADD : BY_VALUE;
        change->value = json_money(in, name, JSON_OPTIONAL, add ? -RATE_MAX : 0, RATE_MAX, 0);
    }
}

static void read_rate(struct json_object *in, const char *name, enum change_kind kind,
                      struct change *change)
{
    struct json_object rate;
    change->kind = kind;
    if (!json_object_member(in, name, JSON_OPTIONAL, &rate)) return;
    read_amount(&rate, change, "value");
    json_object_close(&rate);
}

static void read_ingredient(struct json_object *in, const struct catalogue *catalogue,
                            struct change *change)
{
    change->kind = CHANGE_INGREDIENT_PRICE;
    change->index = read_thing(in, "ingredient", catalogue_ingredient, catalogue);
    read_amount(in, change, "price");
}

static void read_formula(struct json_object *in, const struct catalogue *catalogue,
                         struct change *change)
{
    change->kind = CHANGE_HYDRATION;
    change->by = BY_VALUE;
    change->index = read_thing(in, "formula", catalogue_formula, catalogue);
    change->value = json_decimal(in, "hydration_pct", JSON_REQUIRED, PERCENT_PLACES, 0, PERCENT_MAX,
                                 0);
}

/* Of a product: its dough, its spare or its target; a target may be everybody's. */
static void read_product(struct json_object *in, const struct catalogue *catalogue,
                         struct change *change)
{
    bool dough = json_has(in, "dough_g"), spare = json_has(in, "spare_pct");
    bool target = json_has(in, "target");
    change->index = read_thing(in, "product", catalogue_product, catalogue);
    change->by = BY_VALUE;
    if (dough + spare + target != 1)
        fail_add(in->node.fails, FAIL_INVALID, in->node.path,
                 "must have exactly one of dough_g, spare_pct and target");
    if (dough || spare) change->kind = dough ? CHANGE_PART_WEIGHT : CHANGE_SPARE;
    if (dough)
        change->value = json_decimal(in, "dough_g", JSON_OPTIONAL, WEIGHT_PLACES, 1, WEIGHT_MAX, 1);
    if (spare)
        change->value = json_decimal(in, "spare_pct", JSON_OPTIONAL, PERCENT_PLACES, 0, PERCENT_MAX,
                                     0);
    if (!target) return;
    change->kind = CHANGE_TARGET;
    target_read(in, &change->target, &change->value);
}

static void read_change(const struct json_node *item, const struct catalogue *catalogue,
                        struct change *change)
{
    struct json_object in;
    json_object_open(&in, *item);
    *change = (struct change){.index = NOT_FOUND, .path = item->path};
    if (json_has(&in, "ingredient"))
        read_ingredient(&in, catalogue, change);
    else if (json_has(&in, "formula"))
        read_formula(&in, catalogue, change);
    else if (json_has(&in, "hand_hour"))
        read_rate(&in, "hand_hour", CHANGE_HAND_HOUR, change);
    else if (json_has(&in, "kwh"))
        read_rate(&in, "kwh", CHANGE_KWH, change);
    else if (json_has(&in, "overhead"))
        read_rate(&in, "overhead", CHANGE_OVERHEAD, change);
    else if (json_has(&in, "product") || json_has(&in, "target"))
        read_product(&in, catalogue, change);
    else if (in.node.value != NULL)
        fail_add(item->fails, FAIL_INVALID, item->path,
                 "must name ingredient, formula, product, target, hand_hour, kwh or overhead");
    json_object_close(&in);
}

struct change *changes_read(struct json_object *body, const struct catalogue *catalogue,
                            size_t *count)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "changes", JSON_REQUIRED, 0, CHANGES_MAX, &list);
    struct change *changes = arena_array(body->node.arena, list.length, sizeof *changes);
    *count = 0;
    while (changes != NULL && json_list_next(&list, &item))
        read_change(&item, catalogue, &changes[(*count)++]);
    return changes;
}

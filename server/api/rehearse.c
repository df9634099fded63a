/* Rehearsals. */
#include "api/rehearse.h"

#include "http/request.h"
#include "store/bakery.h"

#include <string.h>

static const char *const place_names[] = {
    [FAULT_STARTER] = "starter", [FAULT_FORMULA] = "formula", [FAULT_PRODUCT] = "product"};

static const char *code_at(const struct catalogue *catalogue, const struct catalogue_fault *fault)
{
    switch (fault->where) {
    case FAULT_STARTER:
        return catalogue->starters[fault->index].code;
    case FAULT_FORMULA:
        return catalogue->formulas[fault->index].code;
    default:
        return catalogue->products[fault->index].code;
    }
}

/* Whether a place, or one that it stands in, has a fault already: a code that could not even be
 * read needs no second fault for not being found. */
static bool is_known(const struct request *request, const char *path)
{
    for (size_t i = 0; i < request->fails.count; i++) {
        const char *known = request->fails.items[i].path;
        size_t length = strlen(known);
        if (length > 0 && strncmp(known, path, length) == 0 && strchr("/", path[length]) != NULL)
            return true;
    }
    return false;
}

/* The faults of the changed thing itself; returns how many it has. */
static size_t report_own(struct request *request, const struct catalogue_faults *faults, int where,
                         size_t index)
{
    size_t count = 0;
    for (size_t i = 0; i < faults->count; i++) {
        const struct catalogue_fault *fault = &faults->items[i];
        if ((int)fault->where != where || fault->index != index) continue;
        count++;
        if (!is_known(request, fault->path))
            fail_add(&request->fails, FAIL_INVALID, fault->path, "%s", fault->text);
    }
    return count;
}

/* where and index tell the changed thing; -1: one that cannot be at fault itself. What would break
 * elsewhere only because of a fault of its own is not told. */
static bool report(struct request *request, const struct catalogue *catalogue,
                   const struct catalogue_faults *faults, int where, size_t index)
{
    if (faults->failed) return fail_memory(&request->fails);
    if (report_own(request, faults, where, index) > 0) return true;
    for (size_t i = 0; i < faults->count; i++)
        fail_add(&request->fails, FAIL_CONFLICT, "", "%s %s would break: %s",
                 place_names[faults->items[i].where], code_at(catalogue, &faults->items[i]),
                 faults->items[i].text);
    return true;
}

/* Sums are only checked when every code is known and the body had no fault of its own: else they
 * would report the same fault again in other words. */
static bool check(struct request *request, struct catalogue *catalogue, int where, size_t index,
                  struct breakdowns *breakdowns)
{
    struct catalogue_faults faults = {.arena = request->arena};
    if (catalogue_resolve(catalogue, &faults) && !fails_any(&request->fails))
        breakdown_all(request->arena, catalogue, &faults, breakdowns);
    return report(request, catalogue, &faults, where, index);
}

bool rehearse_ingredient(struct request *request, const struct ingredient *ingredient)
{
    struct catalogue catalogue;
    struct breakdowns breakdowns;
    return catalogue_load(request->tx, &catalogue) &&
           catalogue_put_ingredient(request->arena, &catalogue, ingredient) &&
           check(request, &catalogue, -1, NOT_FOUND, &breakdowns);
}

bool rehearse_starter(struct request *request, const struct starter *starter)
{
    struct catalogue catalogue;
    struct breakdowns breakdowns;
    return catalogue_load(request->tx, &catalogue) &&
           catalogue_put_starter(request->arena, &catalogue, starter) &&
           check(request, &catalogue, FAULT_STARTER, catalogue_starter(&catalogue, starter->code),
                 &breakdowns);
}

bool rehearse_formula(struct request *request, const struct formula *formula,
                      struct catalogue *catalogue, struct breakdowns *breakdowns)
{
    return catalogue_load(request->tx, catalogue) &&
           catalogue_put_formula(request->arena, catalogue, formula) &&
           check(request, catalogue, FAULT_FORMULA, catalogue_formula(catalogue, formula->code),
                 breakdowns);
}

/* Nothing is made of a product, so it can break nothing else: it alone is looked at. */
bool rehearse_product(struct request *request, const struct product *product)
{
    struct catalogue catalogue;
    struct product copy = *product;
    struct catalogue_faults faults = {.arena = request->arena};
    if (!catalogue_load(request->tx, &catalogue)) return false;
    catalogue.products = &copy;
    catalogue.product_count = 1;
    catalogue_resolve(&catalogue, &faults);
    return report(request, &catalogue, &faults, FAULT_PRODUCT, 0);
}

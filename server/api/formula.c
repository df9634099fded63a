/* /formulas: stored as entered, shown with both percentage forms worked out. */
#include "store/formula.h"
#include "api/formula_body.h"
#include "api/handlers.h"
#include "api/rehearse.h"
#include "api/resource.h"
#include "base/code.h"

static bool select_formulas(struct tx *tx, const struct selection *selection, void **items,
                            size_t *count)
{
    struct formula *list = NULL;
    bool ok = formula_select(tx, selection, &list, count);
    *items = list;
    return ok;
}

static bool store_formula(struct tx *tx, void *thing)
{
    return formula_put(tx, thing);
}

static void read_formula(struct json_object *body, void *thing)
{
    formula_read(body, thing);
}

static bool check_formula(struct request *request, void *thing, const void *old)
{
    struct catalogue catalogue;
    struct breakdowns breakdowns;
    (void)old;
    return rehearse_formula(request, thing, &catalogue, &breakdowns);
}

static void write_formula(struct json_writer *json, const void *thing)
{
    formula_write(json, thing);
}

static bool write_view(struct request *request, struct json_writer *json,
                       const struct catalogue *catalogue, const struct breakdowns *breakdowns,
                       const char *code)
{
    size_t index = catalogue_formula(catalogue, code);
    if (!fails_any(&request->fails) && formula_write_view(request->arena, json, breakdowns, index))
        return true;
    if (fails_any(&request->fails)) return false;
    return fail_add(&request->fails, FAIL_INVALID, "/lines", "has percentages too large to show");
}

static bool write_formula_derived(struct request *request, struct json_writer *json,
                                  const void *thing)
{
    const struct formula *formula = thing;
    struct catalogue catalogue;
    struct breakdowns breakdowns;
    return rehearse_formula(request, formula, &catalogue, &breakdowns) &&
           write_view(request, json, &catalogue, &breakdowns, formula->code);
}

static const struct resource formula_resource = {
    .kind = "formula",
    .size = sizeof(struct formula),
    .revision_at = offsetof(struct formula, revision),
    .select = select_formulas,
    .put = store_formula,
    .remove = formula_delete,
    .read = read_formula,
    .check = check_formula,
    .write = write_formula,
    .write_derived = write_formula_derived,
};

RESOURCE_HANDLERS(formula, formula_resource)

bool list_formula_revisions(struct request *request)
{
    return resource_revisions(request, &formula_resource);
}

/* What a formula would come to, while it is being typed: nothing is stored. */
bool preview_formula(struct request *request)
{
    struct json_node body;
    struct json_object object;
    struct formula formula = {0};
    struct catalogue catalogue;
    struct breakdowns breakdowns;
    if (!request_json(request, &body)) return false;
    json_object_open(&object, body);
    formula.code = json_code(&object, "code", JSON_REQUIRED);
    formula_read(&object, &formula);
    json_object_close(&object);
    if (formula.code == NULL || !rehearse_formula(request, &formula, &catalogue, &breakdowns) ||
        fails_any(&request->fails))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    formula_write(json, &formula);
    if (!write_view(request, json, &catalogue, &breakdowns, formula.code)) return false;
    json_close(json);
    return true;
}

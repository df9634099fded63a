/* Things of the book that a request names. */
#include "api/named.h"

#include "http/request.h"
#include "store/ingredient.h"
#include "store/supplier.h"

bool ingredient_of_path(struct request *request, struct ingredient *ingredient)
{
    struct selection one = {.code = request_param(request, "code")};
    struct ingredient *items;
    size_t count;
    if (!ingredient_select(request->tx, &one, &items, &count)) return false;
    if (count == 0)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no ingredient %s", one.code);
    *ingredient = items[0];
    return true;
}

bool supplier_is_known(struct request *request, const char *code)
{
    struct selection one = {.code = code};
    struct supplier *items;
    size_t count;
    if (code == NULL) return true;
    if (!supplier_select(request->tx, &one, &items, &count)) return false;
    if (count == 0)
        fail_add(&request->fails, FAIL_INVALID, "/supplier", "there is no supplier %s", code);
    return true;
}

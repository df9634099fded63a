/* Numbers in addresses. */
#include "api/number.h"

#include "base/decimal.h"
#include "http/request.h"

#include <string.h>

bool number_parse(const char *text, int64_t *number)
{
    size_t length = strlen(text);
    return text[0] != '0' && length > 0 && strspn(text, "0123456789") == length &&
           decimal_parse(text, length, 0, number) == DECIMAL_OK;
}

bool number_of_path(struct request *request, const char *name, const char *kind, int64_t *number)
{
    const char *text = request_param(request, name);
    return number_parse(text, number) ||
           fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no %s %s", kind, text);
}

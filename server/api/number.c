/* Numbers in addresses. */
#include "api/number.h"

#include "base/decimal.h"

#include <string.h>

bool number_parse(const char *text, int64_t *number)
{
    size_t length = strlen(text);
    return text[0] != '0' && length > 0 && strspn(text, "0123456789") == length &&
           decimal_parse(text, length, 0, number) == DECIMAL_OK;
}

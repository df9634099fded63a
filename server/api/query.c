/* Values in the query. */
#include "api/query.h"

#include "base/arena.h"
#include "base/decimal.h"
#include "http/request.h"

#include <string.h>

bool query_decimal(struct request *request, const char *name, int places, int64_t min, int64_t max,
                   int64_t *out)
{
    char least[DECIMAL_TEXT_SIZE], most[DECIMAL_TEXT_SIZE];
    const char *text = request_query(request, name);
    int64_t value;
    if (text == NULL) return true;
    if (decimal_parse(text, strlen(text), places, &value) == DECIMAL_OK && value >= min &&
        value <= max) {
        *out = value;
        return true;
    }
    decimal_print(least, min, places, 0);
    decimal_print(most, max, places, 0);
    return fail_add(&request->fails, FAIL_INVALID, "",
                    "%s must be a number from %s to %s with at most %d decimals", name, least, most,
                    places);
}

bool query_bool(struct request *request, const char *name, bool *out)
{
    const char *text = request_query(request, name);
    if (text == NULL) return true;
    *out = strcmp(text, "true") == 0;
    return *out || strcmp(text, "false") == 0 ||
           fail_add(&request->fails, FAIL_INVALID, "", "%s must be true or false", name);
}

bool query_date(struct request *request, const char *name, date *out)
{
    const char *text = request_query(request, name);
    return text == NULL || date_parse(text, out) ||
           fail_add(&request->fails, FAIL_INVALID, "", "%s must be a day as YYYY-MM-DD", name);
}

/* A plus that was not escaped arrives as a space. */
bool query_instant(struct request *request, const char *name, instant *out)
{
    const char *sent = request_query(request, name);
    if (sent == NULL) return true;
    char *text = arena_copy(request->arena, sent);
    if (text == NULL) return fail_memory(&request->fails);
    for (char *c = text; *c != '\0'; c++)
        if (*c == ' ') *c = '+';
    if (instant_parse(text, out)) return true;
    return fail_add(&request->fails, FAIL_INVALID, "",
                    "%s must be a moment as YYYY-MM-DDTHH:MM:SS with its offset", name);
}

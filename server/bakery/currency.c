/* Minor units by ISO 4217: what is not 2 stands in the table. */
#include "bakery/currency.h"

#include <stddef.h>
#include <string.h>

/* ISO 4217, list one, the currencies whose minor unit is not 1/100 (tests/sources/ has check
 * values). */
static const struct {
    const char *code;
    int places;
} exceptions[] = {
    {"BHD", 3}, {"BIF", 0}, {"CLF", 4}, {"CLP", 0}, {"DJF", 0}, {"GNF", 0}, {"IQD", 3},
    {"ISK", 0}, {"JOD", 3}, {"JPY", 0}, {"KMF", 0}, {"KRW", 0}, {"KWD", 3}, {"LYD", 3},
    {"OMR", 3}, {"PYG", 0}, {"RWF", 0}, {"TND", 3}, {"UGX", 0}, {"UYI", 0}, {"UYW", 4},
    {"VND", 0}, {"VUV", 0}, {"XAF", 0}, {"XOF", 0}, {"XPF", 0},
};

bool currency_form(const char *code)
{
    return strlen(code) == 3 && strspn(code, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == 3;
}

int currency_places(const char *code)
{
    for (size_t i = 0; i < sizeof exceptions / sizeof exceptions[0]; i++)
        if (strcmp(exceptions[i].code, code) == 0) return exceptions[i].places;
    return 2;
}

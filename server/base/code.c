/* Codes. Judged by bytes, not by the C library's character classes, which depend on a locale. */
#include "base/code.h"

#include <stddef.h>

static bool letter_or_digit(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
}

bool code_valid(const char *text)
{
    if (text == NULL || !letter_or_digit(text[0])) return false;
    size_t length = 1;
    while (letter_or_digit(text[length]) || text[length] == '-') {
        if (++length > CODE_MAX) return false;
    }
    return text[length] == '\0';
}
